"""Moments and days as a person types them, on the yard's clock."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import UTC, datetime, time, timedelta
from zoneinfo import ZoneInfo

from . import spoken
from .exits import Stopped

_AGO = re.compile(r"(\d{1,4}) ?(min|h|d) ago")
_CLOCK = re.compile(r"(?:(today|yesterday|\d{4}-\d\d-\d\d)[ T])?(\d{1,2}:\d\d)")
_ADVICE = (
    "Write it as 14:35, 'yesterday 14:35', 'tomorrow 8am', '2026-03-04 14:35', '20 min ago', "
    "'in 2h', or in full as 2026-03-04T14:35:00+01:00."
)


def now() -> datetime:
    """The current time, by the machine's clock."""
    return datetime.now(UTC)


def moment(text: str, now: datetime, zone: Callable[[], str]) -> str:
    """A moment as RFC 3339 with its offset.

    Args:
        text: `14:35` (today), `yesterday 14:35`, `2026-03-04 14:35`, `20 min ago`, `now`,
            other words that `spoken` reads, or a moment with its offset, which is returned
            unchanged.
        now: the current time, aware.
        zone: returns the yard's IANA zone; called only if the text is on the yard's clock.

    Raises:
        Stopped: the text is no moment, or the clocks change and the time comes twice or never.
    """
    text = text.strip()
    if text == "now":
        return now.isoformat(timespec="seconds")
    if ago := _AGO.fullmatch(text):
        unit = {"min": "minutes", "h": "hours", "d": "days"}[ago[2]]
        return (now - timedelta(**{unit: int(ago[1])})).isoformat(timespec="seconds")
    if face := _CLOCK.fullmatch(text):
        return _on_the_clock(face[1] or "today", face[2], now, ZoneInfo(zone())).isoformat()
    if spoken.is_away(text) or spoken.is_on_a_day(text):
        return _spoken(text, now, zone)
    try:
        exact = datetime.fromisoformat(text)
    except ValueError:
        exact = None
    if exact is None or exact.tzinfo is None:
        raise Stopped(f"{text!r} is not a moment.", _ADVICE)
    return text


def is_spoken(text: str) -> bool:
    """Whether the text is in words, so that the person should see how they were read."""
    return not (_AGO.fullmatch(text.strip()) or _CLOCK.fullmatch(text.strip())) and (
        spoken.is_away(text) or spoken.is_on_a_day(text)
    )


def shown(exact: str, zone: str) -> str:
    """An RFC 3339 moment, as the yard's clock and calendar show it."""
    return f"{datetime.fromisoformat(exact).astimezone(ZoneInfo(zone)):%a %Y-%m-%d %H:%M}"


def face(exact: str) -> str:
    """An RFC 3339 moment on the yard's clock, to the second; its offset is the yard's."""
    return f"{datetime.fromisoformat(exact):%Y-%m-%d %H:%M:%S}"


def day(text: str, now: datetime, zone: Callable[[], str]) -> str:
    """A day as `YYYY-MM-DD`; a text that is not in words is returned unchanged.

    Args:
        text: `2026-03-04`, `today`, `tomorrow`, `yesterday`, `in 3 days`.
        now, zone: as for `moment`.
    """
    if not text[:1].isalpha():
        return text
    found = spoken.day(text, now.astimezone(ZoneInfo(zone())).date())
    return text if found is None else found.isoformat()


def today(now: datetime, zone: str) -> str:
    """The date in a zone, as `YYYY-MM-DD`."""
    return now.astimezone(ZoneInfo(zone)).date().isoformat()


def _spoken(text: str, now: datetime, zone: Callable[[], str]) -> str:
    """A text in words: one that says how far off counts real hours, others the yard's clock."""
    here = UTC if spoken.is_away(text) else ZoneInfo(zone())
    found = spoken.read(text, now.astimezone(here).replace(tzinfo=None))
    if found is None:
        raise Stopped(f"{text!r} is not a moment.", _ADVICE)
    if here is UTC:
        return found.replace(tzinfo=UTC).isoformat(timespec="seconds")
    at = _on_the_clock(found.date().isoformat(), f"{found:%H:%M}", now, ZoneInfo(zone()))
    return at.isoformat()


def _on_the_clock(day: str, face: str, now: datetime, zone: ZoneInfo) -> datetime:
    here = now.astimezone(zone).date()
    try:
        named = {"today": here, "yesterday": here - timedelta(days=1)}.get(day)
        date = named or datetime.fromisoformat(day).date()
        at = datetime.combine(date, time.fromisoformat(face.zfill(5)), zone)
    except ValueError as error:
        raise Stopped(f"{day} {face} is on no clock.", _ADVICE) from error
    if at.utcoffset() != at.replace(fold=1).utcoffset():
        raise Stopped(
            f"{face} on {date} comes twice or never: the clocks change.",
            "Write it with its offset, such as "
            f"{at.isoformat()} or {at.replace(fold=1).isoformat()}.",
        )
    return at
