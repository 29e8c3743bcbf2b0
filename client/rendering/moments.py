"""Moments as a yard says them: on its own clock, rounded one way, and how far off.

The service sends each moment with the offset of the yard's clock. A forecast is shown to five
minutes: what opens late, what closes early. The step is the same however far off it is, so a
deadline never jumps ahead. What was is cut to the minute that it was in, so that two places never
differ. The pages do the same, see `service/core/amounts/hours.py`.
"""

from __future__ import annotations

from datetime import datetime, timedelta

from .amounts import Rounding, minutes, whole
from .columns import View

STEP = 5
"""Minutes."""


def read(text: str) -> datetime:
    """An RFC 3339 moment, aware."""
    return datetime.fromisoformat(text)


def stepped(moment: datetime, step: int, rounding: Rounding) -> datetime:
    """The moment, rounded to a step of so many minutes since midnight."""
    midnight = moment.replace(hour=0, minute=0, second=0, microsecond=0)
    passed = (moment - midnight).total_seconds() / 60 / step
    return midnight + timedelta(minutes=whole(passed, rounding) * step)


def opens(text: str) -> datetime:
    """From when something is open: never early."""
    return stepped(read(text), STEP, "up")


def closes(text: str) -> datetime:
    """Until when something is open: never late."""
    return stepped(read(text), STEP, "down")


def inwards(first: str, last: str) -> tuple[datetime, datetime]:
    """A window that opens late and closes early; a short one to the minute."""
    opened, closed = opens(first), closes(last)
    return (opened, closed) if opened < closed else (read(first), read(last))


def by_minute(text: str, view: View) -> str:
    """By which minute a pot has to be spread: `by 16:37`, or `at once`."""
    moment = stepped(read(text), 1, "down")
    return f"by {face(moment, view)}" if moment > view.now else "at once"


def face(moment: datetime, view: View) -> str:
    """As `clock`, without the word today."""
    return clock(moment, view).removeprefix("today ")


def clock(moment: datetime, view: View) -> str:
    """`today 14:35`, `Tue 14:35` in the week to come, else with its date.

    A weekday alone is always to come, so that nobody takes last Tuesday for the next one.
    """
    if view.plain:
        return moment.isoformat(timespec="seconds")
    here = view.now.astimezone(moment.tzinfo)
    days = (moment.date() - here.date()).days
    if days == 0:
        return f"today {moment:%H:%M}"
    if 0 < days < 7:
        return f"{DAYS[moment.weekday()]} {moment:%H:%M}"
    if moment.year == here.year:
        return f"{moment.day} {MONTHS[moment.month - 1]} {moment:%H:%M}"
    return f"{moment:%Y-%m-%d %H:%M}"


DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")  # English on any machine
MONTHS = (
    "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"
)  # fmt: skip


def headed(moment: datetime) -> str:
    """The day and the time at the head of a screen: `Fri 27 Nov 16:20`."""
    return f"{DAYS[moment.weekday()]} {moment.day} {MONTHS[moment.month - 1]} {moment:%H:%M}"


def between(first: datetime, last: datetime, view: View) -> str:
    """`today 14:30 to 15:10`, or `today 22:00 to Wed 07:15`."""
    if view.plain:
        return f"{clock(first, view)}/{clock(last, view)}"
    until = f"{last:%H:%M}" if last.date() == first.date() else clock(last, view)
    return f"{clock(first, view)} to {until}"


def away(moment: datetime, view: View) -> str:
    """`in 2 h 10 min`, `20 min ago`, `now`."""
    count = round((moment - view.now).total_seconds() / 60)
    if count == 0:
        return "now"
    return f"in {minutes(count)}" if count > 0 else f"{minutes(-count)} ago"


def when(text: str | None, view: View, step: int = 1, rounding: Rounding = "down") -> str:
    """A moment in full: `today 14:35, in 2 h 10 min`; None as an empty text."""
    if text is None:
        return ""
    return full(_told(text, view, step, rounding), view)


def full(moment: datetime, view: View) -> str:
    """A moment and how far off it is: `today 14:35, in 2 h 10 min`."""
    return clock(moment, view) if view.plain else f"{clock(moment, view)}, {away(moment, view)}"


def short(text: str | None, view: View, step: int = 1, rounding: Rounding = "down") -> str:
    """A moment without how far off it is: `today 14:35`; None as an empty text."""
    return "" if text is None else clock(_told(text, view, step, rounding), view)


def _told(text: str, view: View, step: int, rounding: Rounding) -> datetime:
    """The moment as it is shown: exact for a program."""
    return read(text) if view.plain else stepped(read(text), step, rounding)
