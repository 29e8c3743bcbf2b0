"""A person's spreadsheet files, read into the CSV text that the service takes, and written."""
