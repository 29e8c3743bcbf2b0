"""The yard's own network: a certificate of its own, and TLS before the server."""
