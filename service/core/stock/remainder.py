"""How near a draw must come to what is left of a lot to take what is left.

What comes in and what goes out is weighed, and then rounded to whole units of the ledger: by the
last of ten draws of a tenth each, a few milligrams are too many or too few. Then the draw takes
what is left, and nobody is refused, or keeps a drum, for them.
"""

from __future__ import annotations

PART = 10_000
"""One part in so many of what is left may be missed."""
MOST = 1000
"""And never more than so many of the ledger's units: 1 g, 1 mm of roll, one piece."""


def allowance(left: int, lines: int = 0) -> int:
    """How far an amount may miss what is left, in the ledger's units.

    Args:
        lines: of the ledger that made it what it is, each rounded by up to half a unit, as
            the one to come is.
    """
    return min(max(left // PART, (lines + 1) // 2), MOST)


def taken(asked: int, left: int, spare: int) -> int:
    """What is taken of what is left: all of it where the amount misses it by `spare` or less."""
    return left if abs(asked - left) <= spare else min(asked, left)
