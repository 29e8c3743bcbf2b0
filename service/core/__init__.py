"""Plain computation of the trade: no clock, file, table or socket; all comes in as arguments."""
