"""Shop hours: when hands are at work, and which of their hours are at night.

Hours are local, so a shift over the change to summer time is an hour short. Hours that end at or
before they begin run past midnight, and belong to the day on which they begin.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from .. import arrays as np
from ..arrays import Flags, Floats, Whole
from ..frozen import frozen

NIGHT = (time(22), time(5))
"""Night work: seven hours that include those from midnight to five (ILO Convention 171, 1990,
Article 1; from memory)."""


@frozen
class ShopHours:
    """When the shop works, by its local clock.

    Attributes:
        days: weekdays on which it works, Monday 0. closed: dates on which it does not.
        begin, finish: of a working day; two equal times mean the whole day.
    """

    days: frozenset[int]
    begin: time
    finish: time
    zone: ZoneInfo
    closed: frozenset[date] = frozenset()

    def spans(self, start: float, end: float) -> Floats:
        """The stretches of work that overlap [start, end], joined where they meet.

        Returns:
            One row (first, last) for each, epoch s.
        """
        found: list[list[float]] = []
        for day in _days(start, end, self.zone):
            if day.weekday() not in self.days or day in self.closed:
                continue
            first, last = _stretch(day, self.begin, self.finish, self.zone)
            if last <= start or first >= end or last <= first:
                continue
            if found and first <= found[-1][1]:
                found[-1][1] = max(last, found[-1][1])
            else:
                found.append([first, last])
        return np.array(found, float).reshape(-1, 2)


def fits(spans: Floats, begin: Floats, length: float) -> Flags:
    """For each beginning, whether work of a length (s) fits in one stretch of hours."""
    if not len(spans):
        return np.zeros(len(begin), bool)
    i = np.maximum(np.searchsorted(spans[:, 0], begin, side="right") - 1, 0)
    return np.asarray((begin >= spans[i, 0]) & (begin + length <= spans[i, 1]))


@frozen
class Nights:
    """The nights of some days: their edges (epoch s), and the seconds of night up to each edge."""

    edges: Floats
    seconds: Floats

    def worked(self, begin: Floats, length: float) -> Whole:
        """For each beginning, the seconds of night in work of a length (s)."""
        spent = np.interp(begin + length, self.edges, self.seconds)
        return np.rint(spent - np.interp(begin, self.edges, self.seconds)).astype(np.int64)


def nights(start: float, end: float, zone: ZoneInfo) -> Nights:
    """The nights that overlap [start, end]."""
    stretches = [_stretch(day, *NIGHT, zone) for day in _days(start, end, zone)]
    lengths = [last - first for first, last in stretches]
    grown = np.concatenate([[0.0], np.cumsum(lengths)])
    return Nights(
        np.array(stretches, float).reshape(-1),
        np.column_stack([grown[:-1], grown[1:]]).reshape(-1),
    )


def _days(start: float, end: float, zone: ZoneInfo) -> Iterator[date]:
    """The dates of [start, end], and the one before, as its night may reach in."""
    day = datetime.fromtimestamp(start, zone).date() - timedelta(days=1)
    last = datetime.fromtimestamp(end, zone).date()
    while day <= last:
        yield day
        day += timedelta(days=1)


def _stretch(day: date, begin: time, finish: time, zone: ZoneInfo) -> tuple[float, float]:
    """A local time of a day and the next occurrence of another one, epoch s."""
    until = day if finish > begin else day + timedelta(days=1)
    return (
        datetime.combine(day, begin, zone).timestamp(),
        datetime.combine(until, finish, zone).timestamp(),
    )
