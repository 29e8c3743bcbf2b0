"""Codes and numbers that people type: as they are compared, and those that may be meant."""

from __future__ import annotations

from typing import Literal

from .engine.rows import query

Named = Literal["product", "bay", "job"]
"""Tables whose rows people name."""

MOST_NEAR = 2000
"""Rows among which a mistyped name is looked for."""


def key_of(code: str) -> str:
    """What a code or number is unique by: itself without case."""
    return code.casefold()


def newest(table: Named) -> list[str]:
    """The codes or numbers of the newest rows of a table, to find one that may have been meant."""
    column = "number" if table == "job" else "code"
    rows = query(f"SELECT {column} FROM {table} ORDER BY id DESC LIMIT ?", MOST_NEAR)
    return [name for (name,) in rows]
