"""Quality gates: pure functions that answer held, failed or unknown."""
