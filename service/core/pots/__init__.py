"""Pots: doses, and how a mix is shared out."""
