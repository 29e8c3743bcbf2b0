"""Bays, what they are taken to be, and what was measured in them, as known at a moment."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NamedTuple

from peewee import chunked, fn

from .engine.database import db
from .engine.queries import among, by_ids, rows_of
from .lookup import key_of
from .tables import Bay, BayPattern, Reading, Withdrawal
from .yard import withdrawals

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
    return readings_of([bay_id], since, until, as_known_at)[bay_id]


def _measured(as_known_at: int | None) -> Any:
    """Readings that nobody took back, of any bay."""
    rows: Any = Reading.select(
        Reading.id, Reading.at, Reading.temperature_mk, Reading.humidity_ppm, Reading.recorded_at
    ).where(withdrawals.standing(Withdrawal.reading, as_known_at))
    return rows if as_known_at is None else rows.where(Reading.recorded_at <= as_known_at)


def patterns_of(
    bay_ids: Sequence[int], as_known_at: int | None = None
) -> dict[int, list[BayPattern]]:
    """As `patterns`, by bay; a bay told of later has none."""
    rows = BayPattern.select().where(among(BayPattern.bay, bay_ids))
    if as_known_at is not None:
        rows = rows.where(BayPattern.recorded_at <= as_known_at)
    found: dict[int, dict[int, BayPattern]] = {bay: {} for bay in bay_ids}
    for row in rows_of(rows.order_by(BayPattern.at, BayPattern.id)):
        found[row.bay_id][row.at] = row
    return {bay: list(by_moment.values()) for bay, by_moment in found.items()}


def readings_of(
    bay_ids: Sequence[int], since: int, until: int, as_known_at: int | None = None
) -> dict[int, list[Measured]]:
    """As `readings`, by bay, in one query."""
    ids = list(bay_ids)
    of_bays = Reading.bay == ids[0] if len(ids) == 1 else among(Reading.bay, ids)
    rows: Any = _measured(as_known_at).select_extend(Reading.bay)
    rows = rows.where(of_bays, Reading.at.between(since, until))
    last: dict[int, dict[int, Measured]] = {bay: {} for bay in ids}
    for *row, bay in rows.order_by(Reading.at, Reading.id).tuples():
        last[bay][row[1]] = Measured(*row)  # the last word of a moment counts
    return {bay: list(by_moment.values()) for bay, by_moment in last.items()}


def latest_reading(bay_id: int) -> Reading | None:
    """The last reading in force of a bay, or None."""
    return latest_readings([bay_id]).get(bay_id)


def latest_readings(bay_ids: Sequence[int]) -> dict[int, Reading]:
    """The last reading in force of each of some bays, by bay; one without any is left out."""
    last = Reading.select(Reading.id)
    last = last.where(Reading.bay == Bay.id, withdrawals.standing(Withdrawal.reading))
    last = last.order_by(Reading.at.desc(), Reading.id.desc()).limit(1)  # by an index
    ids: Any = Bay.select(last).where(among(Bay.id, bay_ids)).tuples()
    found = by_ids(Reading, [row_id for (row_id,) in ids if row_id is not None])
    return {row.bay_id: row for row in found}


def in_force() -> Any:
    """The condition that a reading is the last word of its moment, and was not taken back."""
    later: Any = Reading.alias()
    after = later.select().where(
        later.bay == Reading.bay,
        later.at == Reading.at,
        later.id > Reading.id,
        withdrawals.standing(Withdrawal.reading, of=later),
    )
    return withdrawals.standing(Withdrawal.reading) & ~fn.EXISTS(after)


def is_in_force(reading_id: int) -> bool:
    """Whether a reading is the last word of its moment, and was not taken back."""
    return bool(Reading.select().where(Reading.id == reading_id, in_force()).exists())


def entered_with(row: Reading) -> list[Reading]:
    """The readings in force of a bay that one hand entered at one moment, as a logger's file."""
    same = (Reading.bay == row.bay_id) & (Reading.recorded_at == row.recorded_at)
    own = (Reading.who == row.who) & (Reading.verified == row.verified)
    return rows_of(Reading.select().where(same, own, in_force()).order_by(Reading.at))


def taken_back(bay_id: int, since: int, until: int) -> dict[int, int]:
    """Moment → its last reading's id, of each moment of a bay at which one was taken back."""
    taken: Any = Reading.alias()
    moments = (
        Withdrawal.select(taken.at)
        .join(taken, on=(Withdrawal.reading == taken.id))
        .where(taken.bay == bay_id, taken.at.between(since, until))
    )
    rows: Any = Reading.select(Reading.at, fn.MAX(Reading.id))
    rows = rows.where(Reading.bay == bay_id, Reading.at.in_(moments)).group_by(Reading.at)
    return dict(rows.tuples())


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
