"""Fields of days and moments."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date, datetime, time, timedelta
from math import ceil, floor
from typing import Any, Literal

from .base import Field, no
from .schemas import JsonSchema
from .writer import Reader

FIRST_DAY, LAST_DAY = date(1970, 1, 1), date(2999, 12, 31)

Rounding = Literal["down", "up", "nearest"]
_ROUNDINGS: dict[Rounding, Callable[[float], int]] = {"down": floor, "up": ceil, "nearest": round}

_DATE = re.compile(r"\d{4}-\d\d-\d\d", re.ASCII)
_TIME = re.compile(r"(?:[01]\d|2[0-3]):[0-5]\d", re.ASCII)
_MOMENT = re.compile(
    r"\d{4}-\d\d-\d\d[Tt ]\d\d:\d\d:\d\d(?:\.\d{1,9})?(?:[Zz]|[+-]\d\d:\d\d)", re.ASCII
)


def is_in_range(moment: datetime) -> bool:
    """Whether a moment is taken: on any clock it is after 1970 began and far from year 10000."""
    return FIRST_DAY + timedelta(days=1) <= moment.date() <= LAST_DAY


class Day(Field):
    """A day, `YYYY-MM-DD`; loads to `date`."""

    def described(self) -> JsonSchema:
        """Its JSON Schema."""
        return {"type": "string", "format": "date"}

    def show(self, value: Any, reader: Reader) -> str:
        """Show it as `2026-03-31`."""
        return value.isoformat() if isinstance(value, date) else value

    def read(self, value: Any) -> date:
        """Read `2026-03-31`; refuse a day that does not exist or is out of range."""
        example = "Write it as in 2026-03-31."
        if not isinstance(value, str) or _DATE.fullmatch(value) is None:
            raise no("This must be a date.", example)
        try:
            day = date.fromisoformat(value)
        except ValueError as error:
            raise no("There is no such day.", example) from error
        if not FIRST_DAY <= day <= LAST_DAY:
            raise no("That year is out of range.", "Check the year.")
        return day


class TimeOfDay(Field):
    """A time on the yard's clock, `HH:MM`; loads to `time`."""

    def described(self) -> JsonSchema:
        """Its JSON Schema."""
        return {"type": "string", "pattern": "^([01][0-9]|2[0-3]):[0-5][0-9]$"}

    def show(self, value: Any, reader: Reader) -> str:
        """Show it as `07:30`."""
        return value.strftime("%H:%M") if isinstance(value, time) else value

    def read(self, value: Any) -> time:
        """Read `07:30`."""
        if not isinstance(value, str) or _TIME.fullmatch(value) is None:
            raise no("This must be a time of day.", "Write it as in 07:30.")
        return time.fromisoformat(value)


class Moment(Field):
    """A moment, RFC 3339 with its offset; loads to whole seconds since 1970 in UTC.

    A fraction of a second is dropped. Answers show it in the yard's zone.

    Args:
        rounding: of an answer: a window opens `up`, late, and closes `down`, early.
    """

    def __init__(self, *, rounding: Rounding = "nearest", **options: Any) -> None:
        super().__init__(**options)
        self.rounding = _ROUNDINGS[rounding]

    def described(self) -> JsonSchema:
        """Its JSON Schema."""
        return {"type": "string", "format": "date-time"}

    def show(self, value: Any, reader: Reader) -> str:
        """Show it on the reader's clock, rounded to a second."""
        seconds = value if isinstance(value, int) else self.rounding(value)
        return datetime.fromtimestamp(seconds, reader.zone).isoformat()

    def read(self, value: Any) -> int:
        """Read date, time and offset, all of them; a table's moments are read already."""
        if isinstance(value, datetime):
            return _whole_seconds(value)
        example = "Write date, time and offset, as in 2026-03-31T14:30:00+02:00."
        if not isinstance(value, str) or _MOMENT.fullmatch(value) is None:
            raise no("This must be a moment with its offset.", example)
        try:
            moment = datetime.fromisoformat(value.upper())
        except ValueError as error:
            raise no("There is no such moment.", example) from error
        if not is_in_range(moment):
            raise no("That year is out of range.", "Check the year.")
        return _whole_seconds(moment)


def _whole_seconds(moment: datetime) -> int:
    """Epoch s; a fraction is dropped, and it is exact in any year."""
    return int((moment.replace(microsecond=0) if moment.microsecond else moment).timestamp())
