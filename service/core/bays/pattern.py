"""A bay's pattern: the temperature that it is assumed to have by day and by night.

Pattern hours are local, so a night of the change to summer time is an hour short, and one of the
change back an hour long.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, time, timedelta
from itertools import pairwise
from typing import ClassVar
from zoneinfo import ZoneInfo

from .. import arrays as np
from ..arrays import Floats
from ..frozen import frozen


@frozen
class Pattern:
    """The temperature of a bay where nobody measured it: one by day, one by night.

    Attributes:
        day, night: K. day_from, day_until: local time; the day may cross midnight.
    """

    day: float
    night: float
    day_from: time
    day_until: time

    def at(self, clock: time) -> float:
        """The temperature at a local time of day, K."""
        if self.day_from == self.day_until:
            return self.day
        if self.day_from < self.day_until:
            by_day = self.day_from <= clock < self.day_until
        else:
            by_day = clock >= self.day_from or clock < self.day_until
        return self.day if by_day else self.night


@frozen
class BayPatterns:
    """A bay's patterns, oldest first, each in force from a moment (epoch s) on; and its time zone.

    The oldest also holds before its moment: nothing better is known of that time.
    """

    is_logged: ClassVar[bool] = False

    since: Sequence[tuple[float, Pattern]]
    zone: ZoneInfo

    def at(self, moment: float) -> float:
        """The temperature at a moment, K."""
        return self._in_force(moment).at(datetime.fromtimestamp(moment, self.zone).time())

    def steps(self, start: float, end: float) -> tuple[Floats, Floats]:
        """Knots (epoch s, K) from `start` to `end`: constant stretches, sharp steps."""
        edges = [start, *self._edges(start, end), end]
        t, T = [], []
        for a, b in pairwise(edges):
            level = self.at((a + b) / 2)
            t += [a, b]
            T += [level, level]
        return np.array(t), np.array(T)

    def _in_force(self, moment: float) -> Pattern:
        current = self.since[0][1]
        for since, pattern in self.since:
            if since <= moment:
                current = pattern
        return current

    def _edges(self, start: float, end: float) -> list[float]:
        """Moments strictly inside (start, end) at which the pattern may step."""
        edges = {moment for moment, _ in self.since}
        date = datetime.fromtimestamp(start, self.zone).date()
        last = datetime.fromtimestamp(end, self.zone).date()
        hours = {h for _, p in self.since for h in (p.day_from, p.day_until)}
        while date <= last:
            for hour in hours:
                edges.add(datetime.combine(date, hour, self.zone).timestamp())
            date += timedelta(days=1)
        return sorted(e for e in edges if start < e < end)
