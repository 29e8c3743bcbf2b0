"""The hour that a wall shows of a moment: what opens is rounded late, what closes early.

It is a quarter of an hour while the moment is far off, and five minutes throughout the last hour:
so near its end a deadline never moves.
"""

from __future__ import annotations

import math

HOUR_S = 3600
FAR_S, NEAR_S = 15 * 60, 5 * 60
"""The steps in which hours are shown, s. Zones are whole quarters from UTC, so steps of the epoch
are steps of every clock."""


def closing(moment: float, now: int) -> int:
    """The hour, epoch s, to show of the end of something."""
    quarter = math.floor(moment / FAR_S) * FAR_S
    return quarter if quarter - now > HOUR_S else math.floor(moment / NEAR_S) * NEAR_S


def opening(moment: float, now: int) -> int:
    """The hour, epoch s, to show of the beginning of something."""
    quarter = math.ceil(moment / FAR_S) * FAR_S
    return quarter if quarter - now > HOUR_S else math.ceil(moment / NEAR_S) * NEAR_S
