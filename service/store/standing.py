"""The lines of the ledger that stand: neither a reversal nor reversed."""

from __future__ import annotations

from typing import Any

from peewee import fn

from .tables import Movement


def standing() -> Any:
    """A select of the lines that stand, to narrow further."""
    mirror: Any = Movement.alias()
    mirrors = mirror.select().where(mirror.reverses == Movement.id)
    return Movement.select().where(Movement.kind != "reversal", ~fn.EXISTS(mirrors))


def is_reversed(movement_id: int) -> bool:
    """Whether a line has a mirror."""
    return bool(Movement.select().where(Movement.reverses == movement_id).exists())
