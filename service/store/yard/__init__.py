"""The yard in the store: people, tokens, feeds, logbook."""
