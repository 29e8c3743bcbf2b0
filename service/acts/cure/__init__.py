"""Acts on layups: lay up, watch, and the gates before."""
