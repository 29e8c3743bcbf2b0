"""Acts on the chain plan: when each step of a repair begins."""
