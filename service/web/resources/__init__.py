"""One noun of the interface a file."""
