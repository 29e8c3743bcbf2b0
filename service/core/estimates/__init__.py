"""Estimates: the sums of a repair, from a taper to a cut list."""
