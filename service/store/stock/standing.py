"""The lines of the ledger that stand: neither a reversal nor reversed."""

from __future__ import annotations

from typing import Any

from peewee import fn

from ..engine.queries import compiled
from ..tables import Movement


def standing() -> Any:
    """A select of the lines that stand, to narrow further."""
    mirror: Any = Movement.alias()
    mirrors = mirror.select().where(mirror.reverses == Movement.id)
    return Movement.select().where(Movement.kind != "reversal", ~fn.EXISTS(mirrors))


def counted_since(lot_id: int, moment: int, *, after: int = 0) -> bool:
    """Whether a standing count of a lot was made at a moment (epoch s) or later.

    Args:
        after: id of a line; only counts recorded after it are looked at.
    """
    return bool(_counts(lot_id, moment, after))


@compiled
def _counts(lot_id: Any, moment: Any, after: Any) -> Any:
    counts = standing().where(
        Movement.lot == lot_id,
        Movement.kind == "count",
        Movement.id > after,
        Movement.counted_at >= moment,
    )
    return counts.limit(1)


def is_reversed(movement_id: int) -> bool:
    """Whether a line has a mirror."""
    return bool(Movement.select().where(Movement.reverses == movement_id).exists())
