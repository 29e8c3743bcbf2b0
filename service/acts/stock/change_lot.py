"""Move, hold, release or open a lot: its state changes, its stock does not."""

from __future__ import annotations

from datetime import date
from typing import Any

from ...core.errors import Invalid
from ...store.engine.database import writing
from ...store.stock import lots
from ...store.stock.lots import Lot
from ...store.yard.hands import Hand
from ..yard import finding
from . import lot as lot_life
from . import lot_dates
from .lot_history import record
from .receive import company_warnings


def change_lot(
    lot: Lot,
    *,
    now: int,
    hand: Hand,
    bay: str | None = None,
    held: bool | None = None,
    reason: str | None = None,
    opened_on: date | None = None,
    made_on: date | None = None,
    expires_on: date | None = None,
) -> lot_life.LotWithWarningsView:
    """Change where a lot stands, whether it is held, when it was opened, or its dates.

    Raises:
        UnknownReference: no such bay. Invalid: a hold or release without a reason; see
            `lot_dates.give`.
        NotAllowed: a hand that releases, or gives another day for the opening, or another date.
    """
    with writing():
        warnings: list[str] = []
        changes: dict[str, Any] = {}
        if bay is not None:
            place = finding.bay(bay, "/bay")
            changes["bay_id"] = place.id
            record(lot, "moved", now, hand, bay_id=place.id)
            warnings += company_warnings(lot.product, place)
        if held is not None:
            _check_reason(reason)
            if not held:
                hand.must_be("lead", "To release a lot")
            changes |= {"held": held, "hold_reason": reason if held else None}
            record(lot, "held" if held else "released", now, hand, reason=reason)
        if opened_on is not None:
            if lot.opened_on not in (None, opened_on):
                hand.must_be("lead", "To correct the day when a lot was opened")
            changes["opened_on"] = opened_on
            record(lot, "opened", now, hand, from_on=opened_on)
        changes |= lot_dates.give(
            lot, made_on=made_on, expires_on=expires_on, reason=reason, now=now, hand=hand
        )
        lots.change(lot.id, **changes)
        return lot_life.show_lot(finding.lot(lot.id), now, warnings)


def hold(lot: Lot, reason: str, now: int, hand: Hand) -> None:
    """Hold a lot because an act found it suspect; its version stays, nobody edited it."""
    lots.set_quietly(lot.id, held=True, hold_reason=reason)
    record(lot, "held", now, hand, reason=reason)


def open_if_closed(lot: Lot, on: date, now: int, hand: Hand) -> None:
    """Its first draw opens a container: from then its open life runs."""
    if lot.opened_on is None:
        lots.set_quietly(lot.id, opened_on=on)
        record(lot, "opened", now, hand, from_on=on)


def _check_reason(reason: str | None) -> None:
    if reason is None:
        raise Invalid("A hold or a release needs a reason.", advice="Say why.", pointer="/reason")
