"""Move, hold, release, open or date a lot; its stock does not change."""

from __future__ import annotations

from datetime import date
from typing import Any

from ...core.errors import Invalid
from ...core.words import Text
from ...store.engine import turns
from ...store.engine.database import writing
from ...store.engine.rows import differing
from ...store.engine.turns import Turn
from ...store.stock import lots
from ...store.stock.lots import Lot
from ...store.yard.hands import Hand
from ..yard import finding
from . import lot_dates
from .lot import LotWithWarningsView, show_lot
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
) -> LotWithWarningsView:
    """Change a lot's bay, hold, day of opening or dates.

    Raises:
        UnknownReference: no such bay. Invalid: a hold or release without a reason; or as
            `lot_dates.give`.
        NotAllowed: only a lead releases a lot, or corrects the day of opening or a date.
    """
    with writing(Turn.BESIDE):
        warnings: list[Text] = []
        changes: dict[str, Any] = {}
        if bay is not None:
            its_bay = finding.bay(bay, "/bay")
            turns.lock_bay(its_bay.id)
            if its_bay.id != (lot.bay and lot.bay.id):
                changes["bay_id"] = its_bay.id
                record(lot, "moved", now, hand, bay_id=its_bay.id)
            warnings += company_warnings(lot.product, its_bay)
        if held is not None:
            _check_reason(reason)
            if not held:
                hand.must_be("lead", "To release a lot")
            kept = differing(lot, {"held": held, "hold_reason": reason if held else None})
            if kept:
                changes |= kept
                record(lot, "held" if held else "released", now, hand, reason=reason)
        if opened_on not in (None, lot.opened_on):
            if lot.opened_on not in (None, opened_on):
                hand.must_be("lead", "To correct the day when a lot was opened")
            changes["opened_on"] = opened_on
            record(lot, "opened", now, hand, from_on=opened_on)
        changes |= lot_dates.give(
            lot, made_on=made_on, expires_on=expires_on, reason=reason, now=now, hand=hand
        )
        if changes:
            lots.change(lot.id, **changes)
        return show_lot(finding.lot(lot.id), now, warnings)


def hold(lot: Lot, reason: str, now: int, hand: Hand) -> None:
    """Hold a lot that an act found suspect; its version stays, as nobody edited it."""
    lots.set_quietly(lot.id, held=True, hold_reason=reason)
    record(lot, "held", now, hand, reason=reason)


def open_if_closed(lot: Lot, on: date, now: int, hand: Hand) -> None:
    """Open a container with its first draw: its open life starts then."""
    if lot.opened_on is None:
        lots.set_quietly(lot.id, opened_on=on)
        record(lot, "opened", now, hand, from_on=on)


def _check_reason(reason: str | None) -> None:
    if reason is None:
        raise Invalid("A hold or a release needs a reason.", advice="Say why.", pointer="/reason")
