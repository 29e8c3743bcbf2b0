"""How wet a laminate reads, against dry places of the same boat, and when to measure it again."""
