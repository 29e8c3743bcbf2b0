"""Layups in the store: rows, records, milestones reached."""
