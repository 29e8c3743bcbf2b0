"""Labels of lots and pots: a code that opens their page, and the facts to read at once."""
