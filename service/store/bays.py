"""Bays, what they are taken to be, and what was measured in them, as known at a moment."""

from __future__ import annotations

from typing import Any, NamedTuple

from peewee import chunked, fn

from .database import db
from .lookup import key_of
from .tables import Bay, BayPattern, Reading

ROWS_A_STATEMENT = 2000
"""Times ten columns, within what both databases bind at once."""


class Measured(NamedTuple):
    """A reading in force: moment in epoch seconds, millikelvin, humidity in ppm or None."""

    id: int
    at: int
    temperature_mk: int
    humidity_ppm: int | None
    recorded_at: int


def find_bay(code: str) -> Bay | None:
    """The bay with a code, whatever its case, or None."""
    return Bay.get_or_none(Bay.code_key == key_of(code))


def patterns(bay_id: int, as_known_at: int | None = None) -> list[BayPattern]:
    """A bay's patterns by the moment from which each holds; the last of a moment counts.

    Args:
        as_known_at: epoch seconds; without it, as known now.
    """
    rows = BayPattern.select().where(BayPattern.bay == bay_id)
    if as_known_at is not None:
        rows = rows.where(BayPattern.recorded_at <= as_known_at)
    by_moment = {row.at: row for row in rows.order_by(BayPattern.at, BayPattern.id)}
    return list(by_moment.values())


def readings(bay_id: int, since: int, until: int, as_known_at: int | None = None) -> list[Measured]:
    """A bay's readings in force from one moment to another, both included, oldest first.

    Args:
        since, until, as_known_at: epoch seconds; without the last, as known now.
    """
    rows: Any = Reading.select(
        Reading.id, Reading.at, Reading.temperature_mk, Reading.humidity_ppm, Reading.recorded_at
    ).where(Reading.bay == bay_id, Reading.at.between(since, until), _not_replaced(as_known_at))
    if as_known_at is not None:
        rows = rows.where(Reading.recorded_at <= as_known_at)
    return [Measured(*row) for row in rows.order_by(Reading.at).tuples()]


def latest_reading(bay_id: int) -> Reading | None:
    """The last reading in force of a bay, or None."""
    rows = Reading.select().where(Reading.bay == bay_id, _not_replaced(None))
    return rows.order_by(Reading.at.desc()).first()


def write_readings(rows: list[dict[str, Any]]) -> None:
    """Write readings, many a statement: a logger's file is tens of thousands of them.

    The statement is written here: the library takes four times as long to put one together as
    the database takes to carry it out.

    Args:
        rows: alike, each a value by its field's name.
    """
    if not rows:
        return
    columns = [Reading._meta.fields[name] for name in rows[0]]
    names = ", ".join(f'"{column.column_name}"' for column in columns)
    line = f"({', '.join([db.param] * len(columns))})"
    for part in chunked(rows, ROWS_A_STATEMENT):
        lines = ", ".join([line] * len(part))
        values = [c.db_value(row[c.name]) for row in part for c in columns]
        db.execute_sql(f'INSERT INTO "reading" ({names}) VALUES {lines}', values)  # noqa: S608


def _not_replaced(as_known_at: int | None) -> Any:
    """The condition that no other reading replaces a row, as far as was recorded by a moment."""
    later: Any = Reading.alias()
    replacing = later.select().where(later.replaces == Reading.id)
    if as_known_at is not None:
        replacing = replacing.where(later.recorded_at <= as_known_at)
    return ~fn.EXISTS(replacing)
