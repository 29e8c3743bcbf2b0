"""Moments and days as a person types them, on the yard's clock."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

from . import spoken
from .exits import Stopped

_CLOCK = re.compile(r"(?:(today|yesterday|\d{4}-\d\d-\d\d)[ T])?(\d{1,2}:\d\d)")
_AGO = re.compile(r"\d{1,4} ?(?:min|h|d) ago")
_FIRST_YEAR, _LAST_YEAR = 1970, 2999
"""The service takes no others, and in year 9999 a clock may carry a moment past the calendar."""
_SAID_TWICE = re.compile(r"(.+\d), (?:in .+|.+ ago|now)")
"""As answers show a moment: `today 14:35, in 2 h 10 min`."""
_ADVICE = (
    "Write it as 14:35, 'yesterday 14:35', 'Thu 10:00', '16 Nov 10:05', 'tomorrow 8am', "
    "'2026-03-04 14:35', '20 min ago', 'in 2h', or in full as 2026-03-04T14:35:00+01:00."
)


def now() -> datetime:
    """The current time, by the machine's clock."""
    return datetime.now(UTC)


def moment(text: str, now: datetime, zone: Callable[[], str], *, ahead: bool = False) -> str:
    """A moment as RFC 3339 with its offset.

    Args:
        text: `14:35` (today), `yesterday 14:35`, `2026-03-04 14:35`, `20 min ago`, `now`,
            other words that `spoken` reads, or a moment with its offset, which is returned
            unchanged.
        now: the current time, aware.
        zone: returns the yard's IANA zone; called only if the text is on the yard's clock.
        ahead: whether `Thu 10:00` and `16 Nov 10:05` are to come, not past.

    Raises:
        Stopped: the text is no moment, its year is out of range, or the clocks change and the time
            comes twice or never.
    """
    text = _once(text)
    if text.casefold() == "now":
        return now.isoformat(timespec="seconds")
    if (off := spoken.away(text)) is not None:
        return (now + off).isoformat(timespec="seconds")
    try:
        exact = datetime.fromisoformat(text) if len(text) > 10 else None
    except ValueError:
        exact = None
    if exact is not None and exact.tzinfo is not None:
        return text
    here = ZoneInfo(zone())
    said = text.replace("T", " ") if exact else text
    face = spoken.face(said, now.astimezone(here).date(), ahead=ahead)
    if face is None:
        raise Stopped(f"{text!r} is not a moment.", _ADVICE)
    if not _FIRST_YEAR <= face.day.year <= _LAST_YEAR:
        raise Stopped(f"{text!r}: that year is out of range.", "Check the year.")
    return _on_the_clock(face, here).isoformat()


def is_spoken(text: str) -> bool:
    """Whether the text is in words, so that the person should see how they were read."""
    text = _once(text)
    plain = _AGO.fullmatch(text) or _CLOCK.fullmatch(text) or text.casefold() == "now"
    return not plain and not re.fullmatch(r"\d{4}-\d\d-\d\d[Tt ][\d:.]+.*", text)


def _once(text: str) -> str:
    twice = _SAID_TWICE.fullmatch(text.strip())
    return twice[1] if twice else text.strip()


def shown(exact: str, zone: str) -> str:
    """An RFC 3339 moment, as the yard's clock and calendar show it."""
    return f"{datetime.fromisoformat(exact).astimezone(ZoneInfo(zone)):%a %Y-%m-%d %H:%M}"


def face(exact: str) -> str:
    """An RFC 3339 moment on the yard's clock, to the second; its offset is the yard's."""
    return f"{datetime.fromisoformat(exact):%Y-%m-%d %H:%M:%S}"


def day(text: str, now: datetime, zone: Callable[[], str], *, ahead: bool = False) -> str:
    """A day as `YYYY-MM-DD`; a text that is not in words is returned unchanged.

    Args:
        text: `2026-03-04`, `today`, `tomorrow`, `in 3 days`, `in 12 months`, `16 Nov`.
        now, zone, ahead: as for `moment`.
    """
    if not any(map(str.isalpha, text)):
        return text
    found = spoken.day(text, now.astimezone(ZoneInfo(zone())).date(), ahead=ahead)
    return text if found is None else found.isoformat()


def today(now: datetime, zone: str) -> str:
    """The date in a zone, as `YYYY-MM-DD`."""
    return now.astimezone(ZoneInfo(zone)).date().isoformat()


def _on_the_clock(face: spoken.Face, zone: ZoneInfo) -> datetime:
    at = datetime.combine(face.day, face.time, zone)
    if at.utcoffset() != at.replace(fold=1).utcoffset():
        raise Stopped(
            f"{face.time:%H:%M} on {face.day} comes twice or never: the clocks change.",
            "Write it with its offset, such as "
            f"{at.isoformat()} or {at.replace(fold=1).isoformat()}.",
        )
    return at
