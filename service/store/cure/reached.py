"""What turned about layups and was told, once each, in the order in which it was."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from peewee import fn

from ..lookup import attach
from ..tables import Layup, Reached
from ..yard.hands import Hand


class Due(NamedTuple):
    """Something that turns about a layup at a moment, epoch s."""

    layup: int
    name: str
    at: int


def untold(due: Iterable[Due]) -> list[Due]:
    """Those that were not told before, by moment."""
    due = list(due)
    rows = Reached.select(Reached.layup, Reached.name).where(
        Reached.layup.in_(list({each.layup for each in due}))
    )
    told = {(row.layup_id, row.name) for row in rows}
    fresh = [each for each in due if (each.layup, each.name) not in told]
    return sorted(fresh, key=lambda each: (each.at, each.layup))


def tell(due: Iterable[Due], *, now: int, hand: Hand) -> None:
    """Put down what is told now; what was told before is not told again."""
    for each in untold(due):
        Reached.create(layup=each.layup, name=each.name, at=each.at, **hand.signed(now))


def after(last: int, limit: int) -> list[Reached]:
    """What was told after the one with that id, in order, with its layups and their jobs."""
    rows = list(Reached.select().where(Reached.id > last).order_by(Reached.id).limit(limit))
    attach(rows, Reached.layup)
    attach([row.layup for row in rows], Layup.job)
    return rows


def newest() -> int:
    """The id of what was told last; 0 where nothing was."""
    return int(Reached.select(fn.MAX(Reached.id)).scalar() or 0)
