"""What was taken back of what is not stock: it stays on record, and whoever reads leaves it out."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from peewee import ForeignKeyField, fn

from ..engine.queries import among, rows_of
from ..tables import Row, Withdrawal
from .hands import Hand


def withdraw(column: Any, row: Row, reason: str, *, now: int, hand: Hand) -> None:
    """Take a row back. `column` of `Withdrawal` says of which table it is; `now` in epoch s."""
    Withdrawal.create(**{column.name: row.id}, reason=reason, **hand.signed(now))


def standing(column: Any, as_known_at: int | None = None, of: Any = None) -> Any:
    """The condition that a row was not taken back, as far as was recorded by a moment.

    Args:
        column: of `Withdrawal`: it leads to the table that is asked.
        of: what the table is called in the query, where that is an alias.
    """
    rows = (of or column.rel_model).id
    taken = Withdrawal.select().where(column == rows)
    if as_known_at is not None:
        taken = taken.where(Withdrawal.recorded_at <= as_known_at)
    return ~fn.EXISTS(taken)


def of_row(column: ForeignKeyField, row_id: int) -> Withdrawal | None:
    """How a row was taken back, or None."""
    found: Withdrawal | None = Withdrawal.get_or_none(column == row_id)
    return found


def of_rows(column: Any, ids: Iterable[int], as_known_at: int | None = None) -> dict[int, Any]:
    """Row's id → how it was taken back, of some rows, in one query."""
    rows = Withdrawal.select().where(among(column, ids))
    if as_known_at is not None:
        rows = rows.where(Withdrawal.recorded_at <= as_known_at)
    return {getattr(row, column.object_id_name): row for row in rows_of(rows)}
