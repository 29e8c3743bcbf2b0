"""What hands find on a layup by which it has set: the words of their looks."""

from __future__ import annotations

HARD = ("thumbnail", "hardness", "solvent_wipe")
"""A nail leaves no mark; a Barcol reading; wiped with solvent and found hard."""
SET = ("gelled", "no_transfer", "green", "sanded", *HARD)
"""Words for a layup that has at least gelled."""
