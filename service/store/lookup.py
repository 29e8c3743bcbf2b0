"""One row by its id or its code; None when there is none, for the caller to refuse."""

from __future__ import annotations

from typing import TypeVar

from .columns import LARGEST
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
