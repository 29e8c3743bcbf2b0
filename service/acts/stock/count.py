"""Count a lot: what is there is the truth, and the ledger gets the difference."""

from __future__ import annotations

from typing import Any

from ...core.amounts.quantities import Given
from ...core.errors import CountedSince, Invalid
from ...store.engine.database import writing
from ...store.stock import acceptances, ledger
from ...store.stock.lines import counted_since
from ...store.stock.lots import Lot
from ...store.yard.hands import Hand
from ..products.product import stuff_of
from ..yard import conversions as units
from ..yard import finding, moments
from . import lot as lot_life
from .draw import show


def count(
    *,
    lot: int,
    quantity: Given,
    now: int,
    hand: Hand,
    counted_at: int | None = None,
    reason: str | None = None,
) -> dict[str, Any]:
    """Set a lot to what was counted.

    The difference is against what the ledger had when it was counted, so that a draw
    booked since then still counts. It acts at once; where it found a difference, a lead accepts
    it, as a lead who counts does by that.

    Args:
        counted_at: when it was counted, epoch s; now when it is not said.

    Raises:
        UnknownReference. ShortStock: what was drawn since is more than was counted.
        Invalid: counted before the lot came. CountedSince: a later count stands.
    """
    with writing():
        what = finding.lot(lot, "/lot")
        counted_at = moments.happened(counted_at, now, "/counted_at", by=hand)
        _check(what, counted_at)
        there = units.in_ledger(quantity, stuff_of(what.product), "/quantity")
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
        return show([movement])


def _check(lot: Lot, counted_at: int) -> None:
    """Refuse a count of what was not there yet, and one that a later count has overtaken."""
    name = lot_life.name_of(lot)
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
