"""Problems: what is refused, and how a refusal is told (RFC 9457)."""
