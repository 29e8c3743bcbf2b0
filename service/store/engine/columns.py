"""Exact columns: whole numbers, flags, dates and bytes that refuse what they would have to bend."""

from __future__ import annotations

from datetime import date
from typing import Any

from peewee import BigIntegerField, Field, TextField

LARGEST = 2**63 - 1
"""The greatest whole number that either database keeps."""


class Whole(BigIntegerField):
    """A 64-bit whole number, of a small base unit or a moment in epoch seconds.

    Raises: TypeError for anything but an int (the library's own column makes 1 of 1.9);
    OverflowError beyond 64 bits.
    """

    def adapt(self, value: Any) -> int:
        """The number itself, refused rather than rounded."""
        if not isinstance(value, int) or isinstance(value, bool):
            raise TypeError(f"{self.name} takes a whole number, not {value!r}")
        if abs(value) > LARGEST:
            raise OverflowError(f"{self.name} can't hold {value}")
        return value


class Flag(BigIntegerField):
    """Yes or no, kept as 1 or 0 on either database."""

    def adapt(self, value: Any) -> int:
        """1 or 0 for a bool, or for a 1 or 0 already."""
        if value not in (0, 1):
            raise TypeError(f"{self.name} takes true or false, not {value!r}")
        return int(value)

    def python_value(self, value: Any) -> bool | None:
        """The bool that was kept."""
        return None if value is None else bool(value)


class Day(TextField):
    """A calendar date in the yard's zone, kept as `YYYY-MM-DD`; a `date` in Python."""

    def db_value(self, value: Any) -> str | None:
        """The text of a date, or of a date's text that is one."""
        if isinstance(value, str):
            value = date.fromisoformat(value)
        return None if value is None else value.isoformat()

    def python_value(self, value: Any) -> date | None:
        """The date that was kept."""
        return None if value is None else date.fromisoformat(value)


class Bytes(Field):
    """Bytes, such as an image, kept as they are on either database."""

    field_type = "BLOB"  # the library writes BYTEA where the database has that name for it
