"""Options that several commands share, and how their values become a request."""
