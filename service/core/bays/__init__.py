"""Bays: the temperature over time, and the dew point of the air."""
