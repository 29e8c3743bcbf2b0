"""Stock: a lot's life, first expired first out, and what is reserved."""
