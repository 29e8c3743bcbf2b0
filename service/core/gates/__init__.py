"""Quality gates: pure functions that answer with held, failed or unknown."""
