"""Times as people say them, read by a library, as far as they mean one moment only."""

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
    """Whether the text says how far off a moment is: `in 2h`, `an hour ago`, `in 2 h 30 min`."""
    return _AWAY.fullmatch(_tidy(text)) is not None


def is_on_a_day(text: str) -> bool:
    """Whether the text is a time on a day: `tomorrow 8am`, `8:30 pm`, `2026-03-05 noon`."""
    return _ON_A_DAY.fullmatch(_tidy(text)) is not None


def read(text: str, now: datetime) -> datetime | None:
    """The moment that a text means.

    A weekday, a month's name, 'tonight' or an hour alone may mean two moments: they are not read.

    Args:
        text: one for which `is_away` or `is_on_a_day` is true.
        now: the current time, naive, on the same clock as the text.

    Returns:
        The moment, naive, on the same clock; None if the library can't read every word.
    """
    import parsedatetime  # late: few commands have a time in words

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
    """The day that a text means: `today`, `tomorrow`, `yesterday`, `in 3 days`; else None."""
    said = _tidy(text)
    if said in _DAYS:
        return today + timedelta(days=_DAYS[said])
    if away := _DAYS_AWAY.fullmatch(said):
        return today + timedelta(days=int(away[1]) * (7 if away[2].startswith("w") else 1))
    return None


def _tidy(text: str) -> str:
    return " ".join(text.casefold().replace("a.m.", "am").replace("p.m.", "pm").split())
