"""The chain plan: when each step of a repair begins."""
