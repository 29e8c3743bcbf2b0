"""Moments as a yard says them: on its own clock, and how far off.

The service sends each moment with the offset of the yard's clock.
"""

from __future__ import annotations

from datetime import datetime, timedelta

from .amounts import Rounding, minutes, whole

GEL_STEP, STEP = 5, 15
"""The clock time of a gel is rounded to 5 minutes, that of a later milestone to 15."""


def read(text: str) -> datetime:
    """An RFC 3339 moment, aware."""
    return datetime.fromisoformat(text)


def stepped(moment: datetime, step: int, rounding: Rounding) -> datetime:
    """The moment, rounded to a step of so many minutes since midnight."""
    midnight = moment.replace(hour=0, minute=0, second=0, microsecond=0)
    passed = (moment - midnight).total_seconds() / 60 / step
    return midnight + timedelta(minutes=whole(passed, rounding) * step)


def clock(moment: datetime, now: datetime) -> str:
    """`today 14:35`, `Tue 14:35`, or `2026-03-04 14:35` if it is a week away or more."""
    here = now.astimezone(moment.tzinfo)
    days = (moment.date() - here.date()).days
    if days == 0:
        return f"today {moment:%H:%M}"
    if abs(days) < 7:
        return f"{_DAYS[moment.weekday()]} {moment:%H:%M}"
    return f"{moment:%Y-%m-%d %H:%M}"


_DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")  # English on any machine


def between(first: datetime, last: datetime, now: datetime) -> str:
    """`today 14:30 to 15:10`, or `today 22:00 to Wed 07:15`."""
    until = f"{last:%H:%M}" if last.date() == first.date() else clock(last, now)
    return f"{clock(first, now)} to {until}"


def away(moment: datetime, now: datetime) -> str:
    """`in 2 h 10 min`, `20 min ago`, `now`."""
    count = round((moment - now).total_seconds() / 60)
    if count == 0:
        return "now"
    return f"in {minutes(count)}" if count > 0 else f"{minutes(-count)} ago"


def when(text: str | None, now: datetime, step: int = 1, rounding: Rounding = "near") -> str:
    """A moment in full: `today 14:35, in 2 h 10 min`; None as an empty text."""
    if text is None:
        return ""
    moment = stepped(read(text), step, rounding)
    return f"{clock(moment, now)}, {away(moment, now)}"


def short(text: str | None, now: datetime, step: int = 1, rounding: Rounding = "near") -> str:
    """A moment without how far off it is: `today 14:35`; None as an empty text."""
    return "" if text is None else clock(stepped(read(text), step, rounding), now)
