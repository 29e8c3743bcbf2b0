"""When a probe has fallen silent: longer than four of its usual pauses, and half an hour at least.

Common practice, no source. A probe that nobody has heard for two weeks was taken away.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from statistics import median

LOOKED_AT = 9
"""Readings that its usual pause is the median of."""
PAUSES = 4
LEAST_S = 30 * 60
GONE_S = 14 * 86_400


def is_silent(moments: Sequence[int], now: int) -> bool:
    """Whether a probe is silent.

    Args:
        moments: of its last readings, epoch s rising; at least one.
    """
    usual = median(b - a for a, b in pairwise(moments)) if len(moments) > 1 else 0
    return max(PAUSES * usual, LEAST_S) < now - moments[-1] <= GONE_S
