"""What was taken back of what is not stock: it stays on record, and whoever reads leaves it out."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal, NamedTuple

from .. import tables
from ..engine.rows import Reader, insert
from .hands import Hand

Table = Literal["layup", "layup_observation", "batch_observation", "reading", "photograph"]


class Withdrawal(NamedTuple):
    """One thing taken back, and why."""

    id: int
    layup_id: int | None
    layup_observation_id: int | None
    batch_observation_id: int | None
    reading_id: int | None
    photograph_id: int | None
    reason: str
    recorded_at: int
    who: str
    verified: bool


_WITHDRAWALS = Reader(Withdrawal, tables.Withdrawal)


def withdraw(table: Table, row_id: int, reason: str, *, now: int, hand: Hand) -> None:
    """Take a row of a table back; `now` in epoch s."""
    insert(tables.Withdrawal, **{f"{table}_id": row_id}, reason=reason, **hand.signed(now))


def standing(table: Table, as_known_at: int | None = None, alias: str = "") -> str:
    """The SQL condition that a row was not taken back, as far as was recorded by a moment.

    Args:
        alias: what the table is called in the statement, where that is not its name.
    """
    by_then = "" if as_known_at is None else f" AND withdrawal.recorded_at <= {as_known_at:d}"
    return (
        "NOT EXISTS (SELECT 1 FROM withdrawal "
        f"WHERE withdrawal.{table}_id = {alias or table}.id{by_then})"
    )


def of_row(table: Table, row_id: int) -> Withdrawal | None:
    """How a row was taken back, or None."""
    return _WITHDRAWALS.first(f"WHERE withdrawal.{table}_id = ?", row_id)


def of_rows(
    table: Table, ids: Iterable[int], as_known_at: int | None = None
) -> dict[int, Withdrawal]:
    """Row's id → how it was taken back, of some rows, in one query."""
    wanted = list(ids)
    rows = _WITHDRAWALS.all(f"WHERE withdrawal.{table}_id IN (?*)", wanted) if wanted else []
    return {
        getattr(row, f"{table}_id"): row
        for row in rows
        if as_known_at is None or row.recorded_at <= as_known_at
    }
