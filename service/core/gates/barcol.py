"""Hardness by a Barcol impressor: ten to twelve readings make one figure.

The highest and the lowest are dropped, the rest averaged (resin fabrication tips, for the
impressor 934-1, at about 25 °C; a waxed face is first sanded by a thousandth or two of an inch).
"""

from __future__ import annotations

from collections.abc import Sequence

from ..errors import Invalid

FEWEST, MOST = 10, 12


def mean(readings: Sequence[int]) -> float:
    """One hardness of ten to twelve readings, on the Barcol scale.

    Raises:
        Invalid: fewer, or more.
    """
    if not FEWEST <= len(readings) <= MOST:
        raise Invalid(
            f"{len(readings)} readings are too few or too many for a hardness.",
            advice=f"Take {FEWEST} to {MOST} over the part: highest and lowest are dropped.",
            pointer="/readings",
        )
    kept = sorted(readings)[1:-1]
    return sum(kept) / len(kept)
