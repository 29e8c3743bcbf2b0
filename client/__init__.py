"""Cureyard's command line: talks HTTP to a server, or to the service in its own process."""
