"""Rows by their ids or codes; None when there is none, for the caller to refuse."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, TypeVar

from .engine.columns import LARGEST
from .engine.queries import by_ids
from .tables import Row

AnyRow = TypeVar("AnyRow", bound=Row)

MOST_NEAR = 2000
"""Rows among which a mistyped name is looked for."""


def by_id(model: type[AnyRow], row_id: int) -> AnyRow | None:
    """The row of a table with an id, or None; a number beyond 64 bits is nobody's id."""
    if not 0 < row_id <= LARGEST:
        return None
    return model.get_or_none(model.id == row_id)


def key_of(code: str) -> str:
    """What a code or number is unique by: itself without case."""
    return code.casefold()


def newest(model: type[AnyRow], column: str) -> list[str]:
    """The codes or numbers of the newest rows of a table, to find one that may have been meant."""
    field = getattr(model, column)
    rows = model.select(field).order_by(model.id.desc()).limit(MOST_NEAR)
    return [getattr(row, column) for row in rows]


def newest_first(model: type[AnyRow], after: int | None, limit: int) -> Any:
    """A select of a page of a table's rows: newest first, after the one with that id."""
    rows = model.select().order_by(model.id.desc()).limit(limit)
    return rows if after is None else rows.where(model.id < after)


def attach(rows: Sequence[Row], *keys: Any) -> None:
    """Give rows what their foreign keys lead to: a query for each key, not for each row.

    Rows that lead to the same row then share it; what a row has already is not asked for again.
    """
    for key in keys:
        bare = [row for row in rows if key.name not in row.__rel__]
        ids = {getattr(row, key.object_id_name) for row in bare} - {None}
        found = {row.id: row for row in _rows(key.rel_model, ids)}
        for row in bare:
            if getattr(row, key.object_id_name) is not None:
                setattr(row, key.name, found[getattr(row, key.object_id_name)])


def _rows(model: Any, ids: set[int]) -> list[Any]:
    if len(ids) == 1:  # which this transaction may have read already
        return [model.get_by_id(*ids)]
    return by_ids(model, ids) if ids else []
