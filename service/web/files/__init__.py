"""Tables of people and of instruments: read into what acts take, and written for a spreadsheet."""
