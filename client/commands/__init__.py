"""One noun or verb of the command line a file."""
