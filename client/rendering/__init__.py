"""Answers as text for a person: pure functions that print nothing."""
