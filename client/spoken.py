"""Times and days as people say and write them, as far as they mean one moment only."""

from __future__ import annotations

import re
from datetime import date, time, timedelta
from typing import NamedTuple

_SECONDS = {"m": 60, "h": 3600, "d": 86_400, "w": 7 * 86_400}
_SPAN = r"\b(an?(?= )|\d{1,4}(?:\.\d{1,2})?) ?(min|minutes?|h|hours?|hrs?|d|days?|weeks?)\b"
_SPANS = rf"{_SPAN}(?: (?:and )?{_SPAN})?"
_AWAY = re.compile(rf"in {_SPANS}|{_SPANS} (?:ago|from now)")

_FACE = re.compile(
    r"(?:(?P<day>.+?),? (?:at )?)?"
    r"(?:(?P<noon>noon)|(?P<hour>\d{1,2})(?::(?P<minute>[0-5]\d)(?::(?P<second>[0-5]\d))?)?"
    r"(?P<half> ?[ap]m)?)"
    r"(?: (?P<later>today|tomorrow|yesterday))?"
)
_PART = re.compile(
    r"(?:(?P<day>this|tomorrow|yesterday) )?(?P<part>morning|afternoon|evening)|tonight"
)

_NEAR = {"": 0, "this": 0, "today": 0, "tomorrow": 1, "yesterday": -1}
_WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
_MONTHS = (
    "january", "february", "march", "april", "may", "june", "july", "august", "september",
    "october", "november", "december",
)  # fmt: skip
_DATE = re.compile(
    r"(?:(?P<weekday>[a-z]{3,9})\.?,? ?)?"
    r"(?:(?P<iso>\d{4}-\d\d-\d\d)"
    r"|(?P<day>\d{1,2})(?:st|nd|rd|th)?\.? (?P<month>[a-z]{3,9})\.?(?:,? (?P<year>\d{4}))?"
    r"|(?P<month_first>[a-z]{3,9})\.? (?P<day_after>\d{1,2})(?:st|nd|rd|th)?"
    r"(?:,? (?P<year_after>\d{4}))?)?"
)
_DAYS_AWAY = re.compile(r"in (\d{1,3}) ?(d|days?|weeks?|months?|years?)")


class Face(NamedTuple):
    """A day, and a time on its clock."""

    day: date
    time: time


def away(text: str) -> timedelta | None:
    """How far off a moment is: `in 2h`, `an hour ago`, `in 2 h 30 min`; None for other texts."""
    said = _tidy(text)
    if not _AWAY.fullmatch(said):
        return None
    seconds = sum(_number(n) * _SECONDS[unit[0]] for n, unit in re.findall(_SPAN, said))
    return timedelta(seconds=-seconds if said.endswith(" ago") else seconds)


def face(text: str, today: date, *, ahead: bool = False) -> Face | None:
    """A time on a day: `tomorrow 8am`, `Thu 10:00`, `16 Nov 10:05`, `this morning 9:00`.

    An hour alone, 'tonight' alone and 3/4 may mean two moments: they are not read.

    Args:
        today: the date on the clock that the text is on.
        ahead: whether a weekday, or a date without its year, is the next one, not the last.
    """
    found = _FACE.fullmatch(_tidy(text))
    if found is None or (found["day"] and found["later"]):
        return None
    named, half = found["day"] or found["later"] or "", (found["half"] or "").strip()
    if part := _PART.fullmatch(named):
        named, half = part["day"] or "", _half(found["hour"], half, part["part"] or "tonight")
    at = time(12) if found["noon"] else _time(found, half)
    on = _near_or_named(named, today, ahead=ahead)
    return None if at is None or on is None else Face(on, at)


def day(text: str, today: date, *, ahead: bool = False) -> date | None:
    """The day that a text means: `today`, `in 3 days`, `Wed 2026-11-25`, `16 Nov`; else None.

    Args: as for `face`.
    """
    said = _tidy(text)
    if gone := _DAYS_AWAY.fullmatch(said):
        count, unit = int(gone[1]), gone[2][0]
        if unit in "my":
            return _months_on(today, count * (12 if unit == "y" else 1))
        return today + timedelta(days=count * (7 if unit == "w" else 1))
    return _near_or_named(said, today, ahead=ahead) if said else None


def _near_or_named(said: str, today: date, *, ahead: bool) -> date | None:
    if said in _NEAR:
        return today + timedelta(days=_NEAR[said])
    found = _DATE.fullmatch(said)
    if found is None:
        return None
    weekday = _index(found["weekday"], _WEEKDAYS)
    if found["weekday"] and weekday is None:
        return None
    on = _written(found, today, ahead=ahead)
    if on is None and weekday is not None and said == found["weekday"]:
        return _weekday(weekday, today, ahead=ahead)
    return on if on and weekday in (None, on.weekday()) else None


def _written(found: re.Match[str], today: date, *, ahead: bool) -> date | None:
    """A date in figures, or with its month by name; without a year the nearest on that side."""
    month = _index(found["month"] or found["month_first"], _MONTHS)
    try:
        if found["iso"]:
            return date.fromisoformat(found["iso"])
        if month is None:
            return None
        number = int(found["day"] or found["day_after"])
        if year := found["year"] or found["year_after"]:
            return date(int(year), month + 1, number)
        on = date(today.year, month + 1, number)
        if on < today and ahead:
            return date(today.year + 1, month + 1, number)
        return date(today.year - 1, month + 1, number) if on > today and not ahead else on
    except ValueError:  # there is no such day
        return None


def _weekday(weekday: int, today: date, *, ahead: bool) -> date:
    off = weekday - today.weekday()
    return today + timedelta(days=off % 7 if ahead else -(-off % 7))


def _months_on(day: date, count: int) -> date:
    """The same day so many months on; in a shorter month its last day."""
    years, month = divmod(day.month - 1 + count, 12)
    for last in (day.day, 30, 29, 28):
        try:
            return date(day.year + years, month + 1, min(day.day, last))
        except ValueError:
            continue
    raise AssertionError("every month has 28 days")


def _half(hour: str | None, half: str, part: str) -> str:
    """Which half of the day an hour is in: `2:30` of an afternoon is `pm`; `neither` if unsure."""
    said = "am" if part == "morning" else "pm"
    if half or hour is None:
        return half if half in ("", said) else "neither"
    if int(hour) > 12:  # of the whole day
        return "" if said == "pm" else "neither"
    early = part in ("evening", "tonight") and int(hour) < 4
    return "neither" if early else said


def _time(found: re.Match[str], half: str) -> time | None:
    """A time of day; None for what is no time, and for an hour alone."""
    hour = int(found["hour"])
    if half:
        if half not in ("am", "pm") or not 1 <= hour <= 12:
            return None
        hour = hour % 12 + 12 * (half == "pm")
    elif found["minute"] is None:
        return None
    return time(hour, int(found["minute"] or 0), int(found["second"] or 0)) if hour < 24 else None


def _index(name: str | None, names: tuple[str, ...]) -> int | None:
    """The place of a name, in full or by its first three letters."""
    for place, each in enumerate(names):
        if name in (each, each[:3]) or (name and len(name) == 4 and each.startswith(name)):
            return place
    return None


def _number(text: str) -> float:
    return 1 if text in ("a", "an") else float(text)


def _tidy(text: str) -> str:
    return " ".join(text.casefold().replace("a.m.", "am").replace("p.m.", "pm").split())
