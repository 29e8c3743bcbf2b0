"""The moment of an act: checked against now, and shown on the yard's clock."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime, time
from functools import cache
from zoneinfo import ZoneInfo

from ...core.amounts import hours
from ...core.errors import Invalid
from ...store.yard.hands import Hand
from . import settings

AHEAD_MAX_S = 300
"""How far a sender's clock may run ahead of ours: a later moment is refused as a mistake."""
BACK_MAX_S = 30 * 24 * 3600
"""How far back a hand may say that something happened."""


def zone() -> ZoneInfo:
    """The yard's time zone."""
    return ZoneInfo(settings.show_yard().zone)


def day_of(moment: int) -> date:
    """The date in the yard of a moment (epoch s)."""
    return datetime.fromtimestamp(moment, zone()).date()


def start_of(day: date) -> int:
    """The moment (epoch s) that a day in the yard begins."""
    return int(datetime.combine(day, time.min, zone()).timestamp())


def clock(moment: float) -> str:
    """A moment to come as the yard's clock shows it, such as 'Tue 14:35'."""
    return _face(moment, zone())


def _face(moment: float, on: ZoneInfo) -> str:
    return datetime.fromtimestamp(moment, on).strftime("%a %H:%M")


def noted(moment: float) -> str:
    """A past moment, such as '17 Jun 14:35', cut to its minute: a weekday alone is to come."""
    return _past(moment, zone())


def _past(moment: float, on: ZoneInfo) -> str:
    there = datetime.fromtimestamp(hours.minute(moment), on)
    return f"{there.day} {there:%b %H:%M}"


def face(moment: float, now: float) -> str:
    """As `noted`; without the day if that is today."""
    on = zone()
    today = datetime.fromtimestamp(now, on).date()
    there = datetime.fromtimestamp(hours.minute(moment), on)
    return f"{there:%H:%M}" if there.date() == today else _past(moment, on)


def clock_once() -> Callable[[float], str]:
    """As `clock`, for many moments: the zone is looked up only for the first."""
    zoned = cache(zone)
    return lambda moment: _face(moment, zoned())


def happened(at: int | None, now: int, pointer: str, *, by: Hand | None = None) -> int:
    """The moment of an act: `at`, or now if that is None.

    Args:
        by: who did it; None allows any moment in the past, as for a logger's readings.

    Raises:
        Invalid: more than five minutes ahead. NotAllowed: more than 30 days back, by a hand.
    """
    if at is None:
        return now
    if at > now + AHEAD_MAX_S:
        said = datetime.fromtimestamp(at, UTC).isoformat()
        raise Invalid(
            f"{said} is in the future.",
            advice="Record what has happened; check the date and the offset.",
            pointer=pointer,
        )
    if by is not None and at < now - BACK_MAX_S:
        by.must_be("lead", "To record what is more than 30 days old")
    return at
