"""Labels for lots and pots: a code that opens their page, and what a hand must read at once."""
