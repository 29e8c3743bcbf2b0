"""When an act happened: judged against now, and turned into the yard's own days."""

from __future__ import annotations

from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

from ..core.errors import Invalid
from . import yard

AHEAD_MAX_S = 300
"""How far a clock may run ahead of ours before a moment is taken for a mistake."""


def zone() -> ZoneInfo:
    """The yard's time zone."""
    return ZoneInfo(yard.show_yard().zone)


def day_of(moment: int) -> date:
    """The date in the yard of a moment (epoch s)."""
    return datetime.fromtimestamp(moment, zone()).date()


def clock(moment: float) -> str:
    """A moment as the yard's clock shows it, such as 'Tue 14:35'."""
    return datetime.fromtimestamp(moment, zone()).strftime("%a %H:%M")


def happened(at: int | None, now: int, pointer: str) -> int:
    """The moment of an act: now, unless it says when.

    Raises:
        Invalid: more than five minutes ahead.
    """
    if at is None:
        return now
    if at > now + AHEAD_MAX_S:
        said = datetime.fromtimestamp(at, UTC).isoformat()
        raise Invalid(
            f"{said} is still to come.",
            advice="Record what has happened; check the date and the offset.",
            pointer=pointer,
        )
    return at
