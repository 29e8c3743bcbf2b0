"""Remainders: a draw that comes near to the rest of a lot takes all of it.

Every amount is weighed and then rounded to whole units of the ledger, so after ten draws of a tenth
each a few milligrams are missing or left over. The last draw takes the rest, so that no draw is
refused and no empty drum stays on the books for a rounding error.
"""

from __future__ import annotations

PART = 10_000
"""The draw may differ from the rest by one part in this number."""
MOST = 1000
"""But never by more than this, in the ledger's units: 1 g, 1 mm of roll, one piece."""


def allowance(left: int, lines: int = 0) -> int:
    """How far an amount may differ from the rest of a lot, in the ledger's units.

    Args:
        left: the rest. lines: number of ledger lines behind it; each of them, and the new one,
            was rounded by up to half a unit.
    """
    return min(max(left // PART, (lines + 1) // 2), MOST)


def taken(asked: int, left: int, spare: int) -> int:
    """The amount taken: all that is left, if the amount differs from it by `spare` or less."""
    return left if abs(asked - left) <= spare else min(asked, left)
