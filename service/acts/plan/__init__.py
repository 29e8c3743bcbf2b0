"""Acts on the chain plan."""
