"""What turned about layups and was told, once each, in the order in which it was."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from .. import tables
from ..engine.rows import Reader, insert, query, scalar
from ..yard.hands import Hand
from .layups import Layup


class Due(NamedTuple):
    """Something that turns about a layup at a moment, epoch s."""

    layup: int
    name: str
    at: int


class Reached(NamedTuple):
    """Something that turned about a layup, told once; `who` was told first."""

    id: int
    name: str
    at: int
    recorded_at: int
    who: str
    layup: Layup


_REACHED = Reader(Reached, tables.Reached)


def untold(due: Iterable[Due]) -> list[Due]:
    """Those that were not told before, by moment."""
    due = list(due)
    sql = "SELECT layup_id, name FROM reached WHERE layup_id IN (?*)"
    told = set(query(sql, sorted({each.layup for each in due})))
    fresh = [each for each in due if (each.layup, each.name) not in told]
    return sorted(fresh, key=lambda each: (each.at, each.layup))


def tell(due: Iterable[Due], *, now: int, hand: Hand) -> None:
    """Put down what is told now; what was told before is not told again."""
    for each in untold(due):
        insert(tables.Reached, layup_id=each.layup, name=each.name, at=each.at, **hand.signed(now))


def after(last: int, limit: int) -> list[Reached]:
    """What was told after the one with that id, in order, with its layups and their jobs."""
    return _REACHED.all("WHERE reached.id > ? ORDER BY reached.id LIMIT ?", last, limit)


def newest() -> int:
    """The id of what was told last; 0 where nothing was."""
    return int(scalar("SELECT MAX(id) FROM reached") or 0)
