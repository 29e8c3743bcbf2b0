"""Answers as text for a person. These functions return lines and print nothing."""
