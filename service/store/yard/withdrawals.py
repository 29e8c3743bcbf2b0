"""What was taken back: it stays on record, readers leave it out, and nothing goes back twice."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, Literal, NamedTuple

from peewee import Model

from ...core.errors import AlreadyExists
from .. import tables
from ..engine.rows import Reader, insert
from .hands import Hand

Table = Literal[
    "layup", "layup_observation", "batch_observation", "reading", "photograph", "finding",
    "moisture_reading", "surface_note", "film_test", "weighed_sample", "layup_probe", "leak_test",
]  # fmt: skip

_KEPT_IN: dict[Table, type[Model]] = {
    "layup": tables.Withdrawal,
    "layup_observation": tables.Withdrawal,
    "batch_observation": tables.Withdrawal,
    "reading": tables.Withdrawal,
    "photograph": tables.Withdrawal,
    "finding": tables.WetnessWithdrawal,
    "moisture_reading": tables.WetnessWithdrawal,
    "surface_note": tables.WetnessWithdrawal,
    "film_test": tables.WetnessWithdrawal,
    "weighed_sample": tables.WetnessWithdrawal,
    "layup_probe": tables.LayupProbeEnd,
    "leak_test": tables.LeakTestEnd,
}


class Withdrawal(NamedTuple):
    """How a row was taken back, and why."""

    id: int
    row_id: int
    reason: str
    recorded_at: int
    who: str
    verified: bool


READERS: dict[Table, Reader[Withdrawal]] = {
    table: Reader(Withdrawal, kept, row_id=f"{table}_id") for table, kept in _KEPT_IN.items()
}


def withdraw(table: Table, row_id: int, reason: str, *, now: int, hand: Hand) -> None:
    """Take a row of a table back; `now` in epoch s."""
    named: dict[str, Any] = {f"{table}_id": row_id}
    insert(_KEPT_IN[table], **named, reason=reason, **hand.signed(now))


def standing(table: Table, as_known_at: int | None = None, alias: str = "") -> str:
    """The SQL condition that a row was not taken back, as far as was recorded by a moment.

    Args:
        alias: what the table is called in the statement, where that is not its name.
    """
    kept = READERS[table].name
    by_then = "" if as_known_at is None else f" AND {kept}.recorded_at <= {as_known_at:d}"
    return (
        f"NOT EXISTS (SELECT 1 FROM {kept} WHERE {kept}.{table}_id = {alias or table}.id{by_then})"
    )


def of_row(table: Table, row_id: int) -> Withdrawal | None:
    """How a row was taken back, or None."""
    reader = READERS[table]
    return reader.first(f"WHERE {reader.name}.{table}_id = ?", row_id)


def of_rows(
    table: Table, ids: Iterable[int], as_known_at: int | None = None
) -> dict[int, Withdrawal]:
    """Row's id → how it was taken back, of some rows, in one query."""
    wanted, reader = list(ids), READERS[table]
    rows = reader.all(f"WHERE {reader.name}.{table}_id IN (?*)", wanted) if wanted else []
    return {
        row.row_id: row for row in rows if as_known_at is None or row.recorded_at <= as_known_at
    }


def refuse_twice(table: Table, row_id: int, name: str) -> None:
    """Refuse to take back a thing, of that name, that was taken back before.

    Raises: AlreadyExists.
    """
    if of_row(table, row_id) is not None:
        raise AlreadyExists(f"{name} was taken back before.", advice="Nothing is left to do.")
