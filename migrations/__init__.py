"""Numbered migrations, forward and back, with frozen tables of their own."""
