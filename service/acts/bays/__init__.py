"""Acts on bays and their readings."""
