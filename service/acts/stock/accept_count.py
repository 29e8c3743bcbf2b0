"""Accept a count: a lead's word that the difference it found is to stand."""

from __future__ import annotations

from ...core.errors import AlreadyExists, Invalid, NotFound
from ...store.engine.database import writing
from ...store.stock import acceptances
from ...store.stock.lines import Movement, find_line, is_reversed
from ...store.yard import logbook
from ...store.yard.hands import Hand
from . import lot as lot_life
from .draw import MovementView, show_movements


def accept_count(movement: int, *, now: int, hand: Hand, note: str | None = None) -> MovementView:
    """Accept what a count found; it changed the books when it was entered.

    Args:
        movement: the id of the count's line.

    Raises:
        NotFound: no such line. Invalid: it is no count, found no difference, or was undone.
        AlreadyExists: it was accepted before.
    """
    with writing():
        line = find_line(movement)
        if line is None:
            raise NotFound(f"There is no movement {movement}.", advice="List the counts that wait.")
        _check(line)
        about = f"lot {lot_life.name_of(line.lot)}: movement {movement}"
        logbook.record("count accepted", about, reason=note, now=now, hand=hand)
        acceptances.accept(line, now=now, hand=hand, note=note)
        return show_movements([line])[0]


def _check(line: Movement) -> None:
    if line.kind != "count":
        raise Invalid(f"Movement {line.id} is a {line.kind}.", advice="Only a count is accepted.")
    if not acceptances.wanted(line):
        raise Invalid(
            f"Count {line.id} found what the books had.", advice="There is nothing to accept."
        )
    if is_reversed(line.id):
        raise Invalid(f"Count {line.id} was undone.", advice="Count the lot again.")
    if acceptances.of_lines([line]):
        raise AlreadyExists(
            f"Count {line.id} was accepted before.", advice="Nothing is left to do."
        )
