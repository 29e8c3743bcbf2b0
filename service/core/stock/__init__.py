"""Stock: the life of lots, first expired first out, reserving, and the cup test."""
