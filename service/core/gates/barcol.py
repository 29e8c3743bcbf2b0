"""Hardness by a Barcol impressor (ASTM D2583): ten to twelve readings make one figure.

The highest and the lowest reading are dropped and the rest averaged (a shop guide of resin
fabrication tips, for the impressor 934-1, at about 25 °C; sand 1 to 2 mil off a waxed face first).
"""

from __future__ import annotations

from collections.abc import Sequence

from ..errors import Invalid

FEWEST, MOST = 10, 12


def mean(readings: Sequence[int]) -> float:
    """The hardness of a part on the Barcol scale.

    Raises:
        Invalid: fewer than ten readings, or more than twelve.
    """
    if not FEWEST <= len(readings) <= MOST:
        raise Invalid(
            f"{len(readings)} readings are too few or too many for a hardness.",
            advice=f"Take {FEWEST} to {MOST} over the part: highest and lowest are dropped.",
            pointer="/readings",
        )
    kept = sorted(readings)[1:-1]
    return sum(kept) / len(kept)
