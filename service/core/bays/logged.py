"""A bay's own pattern: its temperature hour by hour, learned from its log.

A log tells the air to come better than a guess by day and by night. It must be whole: fourteen days
of the last thirty with most of their hours (common practice, no source). The air to come is as
unsure as the means of those days are scattered about the pattern's: √3 times their standard
deviation is the half-width of a range (JCGM 100:2008, 4.3.7).
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from datetime import date, datetime
from itertools import pairwise
from math import sqrt
from statistics import fmean
from typing import ClassVar
from zoneinfo import ZoneInfo

from .. import arrays as np
from ..arrays import Floats
from ..frozen import frozen

HOUR_S = 3600
LOOKED_BACK_S = 30 * 86_400
LEAST_DAYS = 14
LEAST_HOURS = 18
"""Hours of a day that must have a reading, else the day does not count."""


@frozen
class LoggedPattern:
    """The temperature of a bay by the local hour, K; hour 0 first."""

    is_logged: ClassVar[bool] = True

    hours: tuple[float, ...]
    zone: ZoneInfo

    def at(self, moment: float) -> float:
        """The temperature at a moment (epoch s), K."""
        return self.hours[datetime.fromtimestamp(moment, self.zone).hour]

    def steps(self, start: float, end: float) -> tuple[Floats, Floats]:
        """Knots (epoch s, K) from `start` to `end`: constant stretches, sharp steps."""
        first = (start // HOUR_S + 1) * HOUR_S
        edges = [start, *np.arange(first, end, HOUR_S).tolist(), end]
        t, T = [], []
        for a, b in pairwise(edges):
            level = self.at((a + b) / 2)
            t += [a, b]
            T += [level, level]
        return np.array(t, float), np.array(T, float)

    def warmer_outside(self, day: range, kelvins: float) -> LoggedPattern:
        """The same with the hours outside a range so much warmer."""
        hours = [T if h in day else T + kelvins for h, T in enumerate(self.hours)]
        return LoggedPattern(tuple(hours), self.zone)


@frozen
class Logged:
    """A bay's own pattern, and the half-width of the range of the air to come, K."""

    pattern: LoggedPattern
    ahead: float


def learned(log: Iterable[tuple[int, float]], zone: ZoneInfo) -> Logged | None:
    """The pattern of a log; None where the log is too short or has too many gaps.

    Args:
        log: mean temperatures of hours: (any moment within the hour, epoch s; K).
    """
    days: dict[date, dict[int, float]] = defaultdict(dict)
    for moment, kelvins in log:
        local = datetime.fromtimestamp(moment, zone)
        days[local.date()][local.hour] = kelvins
    whole = [hours for hours in days.values() if len(hours) >= LEAST_HOURS]
    if len(whole) < LEAST_DAYS:
        return None
    by_hour = [[day[hour] for day in whole if hour in day] for hour in range(24)]
    if not all(by_hour):
        return None
    means = tuple(fmean(each) for each in by_hour)
    apart = [fmean(T - means[hour] for hour, T in day.items()) for day in whole]
    scatter = sqrt(sum(each**2 for each in apart) / (len(apart) - 1))
    return Logged(LoggedPattern(means, zone), sqrt(3) * scatter)
