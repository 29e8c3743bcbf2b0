"""Acts on wetness: what is found, measured and noted, and what it says."""
