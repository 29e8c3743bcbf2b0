"""Amounts: numbers with a unit, read from text, rounded to a scale, written into a sentence."""
