"""Times as people say them, read by a library, within what can be meant in one way only."""

from __future__ import annotations

import re
from datetime import date, datetime, timedelta
from typing import Any

_SPAN = r"(?:an?|\d{1,4}(?:\.\d{1,2})?) ?(?:min|minutes?|h|hours?|hrs?|d|days?|weeks?)"
_AWAY = re.compile(rf"(?:in {_SPAN}(?: (?:and )?{_SPAN})?|{_SPAN} (?:ago|from now))")
_FACE = r"(?:noon|(?:0?[1-9]|1[0-2])(?::[0-5]\d)? ?[ap]m|(?:[01]?\d|2[0-3]):[0-5]\d)"
_DAY = r"(?:today|tomorrow|yesterday|\d{4}-\d\d-\d\d)"
_ON_A_DAY = re.compile(rf"(?:{_DAY} (?:at )?)?{_FACE}|{_FACE} {_DAY}")
_DAYS = {"today": 0, "tomorrow": 1, "yesterday": -1}
_DAYS_AWAY = re.compile(r"in (\d{1,3}) ?(d|days?|weeks?)")


def is_away(text: str) -> bool:
    """Whether it says how far off: `in 2h`, `an hour ago`, `in 2 h 30 min`."""
    return _AWAY.fullmatch(_tidy(text)) is not None


def is_on_a_day(text: str) -> bool:
    """Whether it says a time of a day: `tomorrow 8am`, `8:30 pm`, `2026-03-05 noon`."""
    return _ON_A_DAY.fullmatch(_tidy(text)) is not None


def read(text: str, now: datetime) -> datetime | None:
    """The moment that words mean.

    A weekday, a month's name, 'tonight', a bare hour may each be two moments, and are none here.

    Args:
        text: words that are `is_away` or `is_on_a_day`.
        now: the time it is, naive, on the clock that the words are on.

    Returns:
        It, naive, on the same clock; None where the library does not read every word.
    """
    import parsedatetime  # late: few commands say a time

    said = _tidy(text).replace(" from now", "") if is_away(text) else _tidy(text)
    if "from now" in text:
        said = f"in {said}"
    calendar = parsedatetime.Calendar(version=parsedatetime.VERSION_CONTEXT_STYLE)
    found: Any = calendar.nlp(said, sourceTime=now.replace(microsecond=0)) or ()
    if len(found) != 1 or found[0][4] != said:
        return None
    moment: datetime = found[0][0]
    return moment


def day(text: str, today: date) -> date | None:
    """The day that words mean: `today`, `tomorrow`, `yesterday`, `in 3 days`; None if none."""
    said = _tidy(text)
    if said in _DAYS:
        return today + timedelta(days=_DAYS[said])
    if away := _DAYS_AWAY.fullmatch(said):
        return today + timedelta(days=int(away[1]) * (7 if away[2].startswith("w") else 1))
    return None


def _tidy(text: str) -> str:
    return " ".join(text.casefold().replace("a.m.", "am").replace("p.m.", "pm").split())
