"""One row by its id or its code; None when there is none, for the caller to refuse."""

from __future__ import annotations

from typing import TypeVar

from .columns import LARGEST
from .tables import Row

AnyRow = TypeVar("AnyRow", bound=Row)


def by_id(model: type[AnyRow], row_id: int) -> AnyRow | None:
    """The row of a table with an id, or None; a number beyond 64 bits is nobody's id."""
    if not 0 < row_id <= LARGEST:
        return None
    return model.get_or_none(model.id == row_id)


def key_of(code: str) -> str:
    """What a code or number is unique by: itself without case."""
    return code.casefold()
