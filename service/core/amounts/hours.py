"""The hour that every screen shows of a moment: to five minutes, one way.

What opens is rounded late and what closes early, so an hour never promises more than its moment
does. The step is the same however far off the moment is: a coarser one far off would let a deadline
jump ahead as it comes near. A pot's working time alone is shown to the minute.
"""

from __future__ import annotations

import math

STEP_S, MINUTE_S = 5 * 60, 60
"""Zones are whole quarters of an hour from UTC, so steps of the epoch are steps of every clock."""


def minute(moment: float) -> int:
    """The minute, epoch s, by which a pot is spread: five would take half of a short one's time."""
    return math.floor(moment / MINUTE_S) * MINUTE_S


def opening(moment: float) -> int:
    """The hour, epoch s, to show of the beginning of something."""
    return math.ceil(moment / STEP_S) * STEP_S


def closing(moment: float) -> int:
    """The hour, epoch s, to show of the end of something."""
    return math.floor(moment / STEP_S) * STEP_S
