"""Count a lot, and accept the difference that a count found."""

from __future__ import annotations

from ...core.amounts.quantities import Given
from ...core.errors import AlreadyExists, CountedSince, Invalid, NotFound
from ...store.engine.database import writing
from ...store.engine.turns import Turn
from ...store.stock import acceptances, ledger
from ...store.stock.lines import Movement, counted_since, find_line, is_reversed
from ...store.stock.lots import Lot
from ...store.yard import logbook
from ...store.yard.hands import Hand
from ..products.stuff import stuff_of
from ..yard import conversions, finding, moments
from .lot_name import name_of
from .movement import MovedView, MovementView, moved, show_movements


def count(
    *,
    lot: int,
    quantity: Given,
    now: int,
    hand: Hand,
    counted_at: int | None = None,
    reason: str | None = None,
) -> MovedView:
    """Set a lot to the amount that was counted.

    The difference is to the ledger's amount at the moment of the count, so that a draw booked
    since then still counts. It changes the stock at once. A lead accepts the difference, if
    there is one; a count by a lead is accepted with it.

    Args:
        counted_at: the moment of the count, epoch s; now if it is None.

    Raises:
        UnknownReference. ShortStock: more was drawn since than was counted.
        Invalid: the count is from before the lot was received. CountedSince: there is a later
            count.
    """
    with writing(Turn.BESIDE):
        what = finding.lot_to_change(lot, "/lot")
        counted_at = moments.happened(counted_at, now, "/counted_at", by=hand)
        _check_moment(what, counted_at)
        there = conversions.in_ledger(quantity, stuff_of(what.product), "/quantity")
        difference = there - ledger.on_hand_at(what.id, counted_at)
        movement = ledger.post(
            what.id,
            "count",
            difference,
            at=now,
            now=now,
            hand=hand,
            reason=reason,
            typed=quantity.text,
            density_mg_l=what.product.density_mg_l,
            counted_at=counted_at,
        )
        if acceptances.wanted(movement) and hand.is_at_least("lead"):
            acceptances.accept(movement, now=now, hand=hand)
        return moved([movement])


def is_doubtful(lot: Lot, quantity: Given) -> bool:
    """Whether a count is of more than the lot ever had, so that a hand should say it again."""
    there = conversions.in_ledger(quantity, stuff_of(lot.product), "/quantity")
    return there > ledger.most_on_hand(lot.id)


def accept_count(movement: int, *, now: int, hand: Hand, note: str | None = None) -> MovementView:
    """Accept the difference that a count found; it changed the stock when it was entered.

    Args:
        movement: the id of the count's line.

    Raises:
        NotFound: no such line. Invalid: it is no count, found no difference, or was undone.
        AlreadyExists: it was accepted before.
    """
    with writing():
        line = find_line(movement)
        if line is None:
            raise NotFound(f"There is no movement {movement}.", advice="List those that wait.")
        _check_waiting(line)
        about = f"lot {name_of(line.lot)}: movement {movement}"
        logbook.record("count accepted", about, reason=note, now=now, hand=hand)
        acceptances.accept(line, now=now, hand=hand, note=note)
        return show_movements([line])[0]


def _check_moment(lot: Lot, counted_at: int) -> None:
    """Refuse a count from before the lot was received, or from before a later count."""
    name = name_of(lot)
    if counted_at < lot.received_at:
        raise Invalid(
            f"Lot {name} was received only at {moments.noted(lot.received_at)}.",
            advice="Give a moment after that, or count it now.",
            pointer="/counted_at",
        )
    if counted_since(lot.id, counted_at + 1):
        raise CountedSince(
            f"Lot {name} was counted again after that.",
            advice="Count it now, if the shelf has another amount.",
            lot=lot.id,
        )


def _check_waiting(line: Movement) -> None:
    if line.kind != "count":
        raise Invalid(f"Movement {line.id} is a {line.kind}.", advice="Only a count is accepted.")
    if not acceptances.wanted(line):
        raise Invalid(
            f"Count {line.id} found what the books had.", advice="There is nothing to accept."
        )
    if is_reversed(line.id):
        raise Invalid(f"Count {line.id} was undone.", advice="Count the lot again.")
    if acceptances.of_lines([line]):
        raise AlreadyExists(f"Count {line.id} was accepted before.")
