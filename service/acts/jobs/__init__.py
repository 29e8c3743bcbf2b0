"""Acts on jobs: open, need, use, trace."""
