"""The commands. A file has the name of its command, or of what its commands have in common."""
