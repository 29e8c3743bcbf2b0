"""Acts on the catalogue and its cure sheets."""
