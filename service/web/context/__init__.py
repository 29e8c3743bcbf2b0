"""The context of a request: who asks, when, in which units."""
