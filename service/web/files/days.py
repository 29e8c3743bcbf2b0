"""Dates and times as spreadsheets and loggers write them; an ambiguous one is refused."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import UTC, datetime, timedelta, timezone, tzinfo
from functools import lru_cache
from typing import Literal

from ...core.amounts import zones
from ...core.errors import Invalid
from ..fields.times import is_in_range

Order = Literal["dmy", "mdy"]

_SHORT = re.compile(r"(\d\d?)([./-])(\d\d?)\2(\d{4}|\d\d)(?=\D|$)", re.ASCII)
_YEAR_FIRST = re.compile(r"(\d{4})[./-](\d\d?)[./-](\d\d?)(?=\D|$)", re.ASCII)
_NAMED = re.compile(
    r"(\d\d?)[. -]{1,2}([A-Za-z]{3})[a-z]*[. ,-]{1,2}(\d{4}|\d\d)(?=\D|$)", re.ASCII
)
_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_TIME = re.compile(
    r"[T\s]*(\d\d?):(\d\d)(?::(\d\d)(?:[.,]\d{1,9})?)?\s*(?:([ap])\.?m\.?)?"
    r"\s*(Z|UTC|GMT|[+-]\d\d:?\d\d)?",
    re.ASCII | re.IGNORECASE,
)
_FIXED = re.compile(r"(?:UTC|GMT|Z)\s*(?:([+-])(\d\d?)(?::?(\d\d))?)?", re.ASCII | re.IGNORECASE)


def zone(text: str) -> tzinfo:
    """The clock of a name: `UTC`, `UTC+1`, `GMT-05:00`, `Europe/Lisbon`.

    Raises:
        Invalid: there is no such clock, or the name means another one elsewhere.
    """
    if fixed := _FIXED.fullmatch(text.strip()):
        sign = -1 if fixed[1] == "-" else 1
        ahead = timedelta(hours=int(fixed[2] or 0), minutes=int(fixed[3] or 0))
        if ahead < timedelta(hours=24):
            return timezone(sign * ahead) if ahead else UTC
    try:
        return zones.zone(text.strip())
    except zones.NoZone as unknown:
        raise Invalid(
            unknown.detail, advice="Write the clock as UTC, UTC+01:00 or Europe/Lisbon."
        ) from unknown


def order_of(texts: Iterable[str]) -> Order | None:
    """Whether days or months come first in dates such as 31/03/2026; None without such dates.

    Raises:
        Invalid: no date decides it, or two contradict each other.
    """
    found: set[Order] = set()
    undecided = ""
    for text in texts:
        short = _SHORT.match(text.strip())
        if short is None:
            continue
        if short[2] == "." or int(short[1]) > 12:
            found.add("dmy")
        elif int(short[3]) > 12:
            found.add("mdy")
        elif short[1] != short[3]:
            undecided = undecided or short[0]
    if len(found) == 1 or not (found or undecided):
        return next(iter(found), None)
    what = f"{undecided} may be two days, and no date of the file tells which"
    if found:
        what = "Some dates begin with the day and some with the month"
    raise Invalid(f"{what}.", advice="Say as 'dates' which is first: dmy the day, mdy the month.")


def day(text: str, order: Order | None) -> str:
    """A date as `YYYY-MM-DD`; any other text is returned for the field to refuse.

    A time of midnight after it is dropped: spreadsheets keep a day so.
    """
    date, rest = _date(text.strip(), order)
    return date if date and rest.strip() in ("", "00:00", "00:00:00", "0:00") else text


def moment(text: str, order: Order | None, clock: tzinfo) -> datetime:
    """A moment with its offset; one without is on the given clock.

    Raises:
        Invalid: it is no moment, its year is out of range, or a night of a clock change has it
            twice or never.
    """
    try:
        found = datetime.fromisoformat(text) if len(text) > 10 else None
    except ValueError:
        found = _other_forms(text, order)
    if found is None:
        raise Invalid(
            f"{text[:64]!r} is not a date with its time.", advice="Write it as 2026-03-31 14:30."
        )
    if not is_in_range(found):
        raise Invalid(f"{text[:64]!r} is in a year out of range.", advice="Check the year.")
    if found.tzinfo is not None:
        return found
    return _on_clock(found, clock, text)


def _date(text: str, order: Order | None) -> tuple[str, str]:
    """A date in ISO form, and the text after it; both empty, if there is no date."""
    if match := _YEAR_FIRST.match(text):
        year, month, date = match.groups()
    elif (match := _NAMED.match(text)) and match[2].casefold() in _MONTHS:
        date, month, year = match[1], str(_MONTHS.index(match[2].casefold()) + 1), match[3]
    elif match := _SHORT.match(text):
        one, mark, other, year = match.groups()
        date, month = (other, one) if order == "mdy" and mark != "." else (one, other)
    else:
        return "", ""
    year = year if len(year) == 4 else f"20{year}"
    return f"{year}-{month:0>2}-{date:0>2}", text[match.end() :]


def _other_forms(text: str, order: Order | None) -> datetime | None:
    date, rest = _date(text.strip(), order)
    time = _TIME.fullmatch(rest)
    if not date or time is None:
        return None
    hour, minute, second, half, offset = time.groups()
    if half and not 1 <= int(hour) <= 12:
        return None
    if half:
        hour = str(int(hour) % 12 + 12 * (half.lower() == "p"))
    tail = "Z" if (offset or "").upper() in ("UTC", "GMT") else (offset or "").upper()
    try:
        return datetime.fromisoformat(f"{date}T{hour:0>2}:{minute}:{second or '00'}{tail}")
    except ValueError:
        return None


def _on_clock(naive: datetime, clock: tzinfo, text: str) -> datetime:
    at = naive.replace(tzinfo=clock, fold=0)
    if not _changes(clock, naive.year, naive.month, naive.day):
        return at
    if at.utcoffset() == at.replace(fold=1).utcoffset():
        return at
    back = at.astimezone(UTC).astimezone(clock).replace(tzinfo=None)
    word = "came twice" if back == naive else "never came"
    raise Invalid(
        f"{text} {word} on the night that the clocks changed.",
        advice="Write the moment with its offset, such as +02:00, or name the logger's own clock.",
    )


@lru_cache(maxsize=1024)
def _changes(clock: tzinfo, year: int, month: int, date: int) -> bool:
    """Whether the clock changes on or next to a day: only then may a time be twice, or never."""
    noon = datetime(year, month, date, 12, tzinfo=UTC)
    offsets = {(noon + timedelta(days=d)).astimezone(clock).utcoffset() for d in (-1, 0, 1)}
    return len(offsets) > 1
