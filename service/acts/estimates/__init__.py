"""Estimates: the sums of a repair, worked out and not kept; one subject a file."""
