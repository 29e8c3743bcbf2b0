"""Find the columns of a temperature logger's table by their headings."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import UTC, tzinfo

from ...core.errors import Invalid
from ...core.frozen import frozen
from . import days

ADVICE = (
    "Begin the columns with: at, temperature (degC), humidity (%); the last one may be left out."
)

_MOMENT = re.compile(
    r"(at|moment|time ?stamp|date ?(?:/|and|&|-)? ?time|(?:recorded|logged|read) at)\b"
)
_DAY, _TIME = re.compile(r"date\b"), re.compile(r"time\b")
_TEMPERATURE = re.compile(r"(temp|temperature|celsius|fahrenheit)\b(?! ?(alarm|limit|high|low))")
_HUMIDITY = re.compile(r"(humidity|relative humidity|rh\b|% ?rh\b)(?! ?(alarm|limit|high|low))")
_UNIT = re.compile(r"(?:°\s*|\bdeg(?:rees?)?\s*|\b)(c|f|k|celsius|fahrenheit)\b")
_CLOCK = re.compile(
    r"\b((?:UTC|GMT)(?:\s*[+-]\d\d?(?::?\d\d)?)?)|[(\[,]\s*([A-Z][A-Za-z]+/[A-Za-z_/+-]+)"
)
_UNITS = {"c": "degC", "celsius": "degC", "f": "degF", "fahrenheit": "degF", "k": "K"}


@frozen
class Head:
    """The columns that were found, by their index.

    Attributes:
        moment: the columns that make a moment: one, or one of a day and one of a time.
        clock: of the moments, if their heading names it.
        temperature: its column.
        humidity: its column, if there is one.
        unit: of the temperature, if its heading names it; else empty.
        names: the headings themselves.
    """

    moment: tuple[int, ...]
    clock: tzinfo | None
    temperature: int
    humidity: int | None
    unit: str
    names: tuple[str, ...]

    def unused(self) -> list[str]:
        """The headings of the columns that are not used."""
        used = {*self.moment, self.temperature, self.humidity}
        return [name for i, name in enumerate(self.names) if name and i not in used]


def is_known(heading: str) -> bool:
    """Whether a heading is of a moment, a temperature or a humidity."""
    return any(
        pattern.match(_tidy(heading)) for pattern in (_MOMENT, _DAY, _TIME, _TEMPERATURE, _HUMIDITY)
    )


def read(headings: Sequence[str]) -> Head:
    """Find the columns.

    Raises:
        Invalid: the moment or the temperature has no column, or more than one.
    """
    tidy = [_tidy(text) for text in headings]
    moment = _moment(tidy, headings)
    temperature = _only(_matching(_TEMPERATURE, tidy), headings, "temperature")
    damp = _matching(_HUMIDITY, tidy)
    unit = _UNIT.search(tidy[temperature])
    return Head(
        moment,
        _clock(headings[moment[0]]),
        temperature,
        _only(damp, headings, "humidity") if damp else None,
        _UNITS[unit[1]] if unit else "",
        tuple(text.strip() for text in headings),
    )


def _tidy(heading: str) -> str:
    return " ".join(heading.casefold().replace("_", " ").strip(" \"'").split())


def _matching(pattern: re.Pattern[str], tidy: list[str]) -> list[int]:
    return [i for i, text in enumerate(tidy) if pattern.match(text)]


def _moment(tidy: list[str], headings: Sequence[str]) -> tuple[int, ...]:
    """One column with day and time, or one for each; of several with different clocks, UTC's."""
    whole = _matching(_MOMENT, tidy)
    universal = [i for i in whole if _clock(headings[i]) is UTC]
    if whole:
        return (_only(universal or whole, headings, "moment"),)
    date, time = _matching(_DAY, tidy), _matching(_TIME, tidy)
    if date and time:
        return _only(date, headings, "date"), _only(time, headings, "time")
    return (_only(date or time, headings, "moment"),)


def _clock(heading: str) -> tzinfo | None:
    match = _CLOCK.search(heading)
    return days.zone(match[1] or match[2]) if match else None


def _only(found: list[int], headings: Sequence[str], what: str) -> int:
    if len(found) == 1:
        return found[0]
    if not found:
        raise Invalid(f"The file has no column for the {what}.", advice=ADVICE)
    names = " and ".join(repr(headings[i].strip()) for i in found)
    raise Invalid(
        f"The columns {names} may each be the {what}.", advice="Leave one of them in the file."
    )
