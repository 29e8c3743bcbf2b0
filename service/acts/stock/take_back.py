"""Take back a hold or an opening of a lot: both stay in its history.

A hand takes back its own within a day, a lead anybody's.
"""

from __future__ import annotations

from ...core.errors import Invalid, NotAllowed
from ...store.engine.database import writing
from ...store.engine.turns import Turn
from ...store.stock import cup_tests, lots
from ...store.stock.lines import of_lot
from ...store.stock.lots import Lot, LotEvent
from ...store.yard.hands import Hand
from ..yard import finding, permissions
from .lot import LotWithWarningsView, show_lot
from .lot_history import record
from .lot_name import name_of


def take_back_hold(lot: Lot, *, reason: str, now: int, hand: Hand) -> LotWithWarningsView:
    """Release a lot that was held by mistake.

    Raises:
        Invalid: it is not held, or a cup test holds it.
        NotAllowed: as `permissions.may_undo`.
    """
    with writing(Turn.BESIDE):
        held = last_hold(lot)
        if held is None:
            raise Invalid(f"Lot {name_of(lot)} is not held.", advice="Nothing is left to do.")
        if _by_a_test(held):
            raise Invalid(
                f"A cup test holds lot {name_of(lot)}.",
                advice="A lead releases it, or test another cup.",
            )
        permissions.may_undo(held, now, hand)
        lots.change(lot.id, held=False, hold_reason=None)
        record(lot, "released", now, hand, reason=reason)
        return show_lot(finding.lot(lot.id), now)


def take_back_opening(lot: Lot, *, reason: str, now: int, hand: Hand) -> LotWithWarningsView:
    """Record that a lot was not opened; where a lead corrected the day, the day before counts.

    Raises:
        Invalid: nobody opened it, or something was drawn from it since.
        NotAllowed: as `permissions.may_undo`.
    """
    with writing(Turn.BESIDE):
        openings = _openings(lot)
        if not openings:
            raise Invalid(f"Nobody opened lot {name_of(lot)}.", advice="Nothing is left to do.")
        *before, opened = openings
        if not before and _is_drawn_from(lot):
            raise Invalid(
                f"Something was drawn from lot {name_of(lot)}, so it is open.",
                advice="If that was another lot, undo the draw first.",
            )
        permissions.may_undo(opened, now, hand)
        lots.change(lot.id, opened_on=before[-1].from_on if before else None)
        record(lot, "not_opened", now, hand, reason=reason, from_on=opened.from_on)
        return show_lot(finding.lot(lot.id), now)


def last_hold(lot: Lot) -> LotEvent | None:
    """The hold that a lot stands under; None where it has none on record."""
    if not lot.held:
        return None
    return max(lots.events_of(lot.id, "held"), key=lambda event: event.id, default=None)


def last_opening(lot: Lot) -> LotEvent | None:
    """The opening by which a lot is open; None where it has none on record."""
    openings = _openings(lot)
    return openings[-1] if openings else None


def may_take_back(lot: Lot, event: LotEvent | None, now: int, hand: Hand) -> bool:
    """Whether a hand may take back that hold or opening of a lot now."""
    if event is None or not hand.is_at_least("hand"):
        return False
    try:
        permissions.may_undo(event, now, hand)
    except NotAllowed:
        return False
    if event.kind == "held":
        return not _by_a_test(event)
    return len(_openings(lot)) > 1 or not _is_drawn_from(lot)


def _openings(lot: Lot) -> list[LotEvent]:
    """The openings that nobody took back, in the order in which they were recorded."""
    standing: list[LotEvent] = []
    for event in sorted(lots.events_of(lot.id), key=lambda each: each.id):
        if event.kind == "opened":
            standing.append(event)
        elif event.kind == "not_opened" and standing:
            standing.pop()
    return standing


def _is_drawn_from(lot: Lot) -> bool:
    """Whether a draw or a scrap of it stands."""
    lines = of_lot(lot.id)
    undone = {line.reverses_id for line in lines}
    return any(line.kind in ("draw", "scrap") and line.id not in undone for line in lines)


def _by_a_test(held: LotEvent) -> bool:
    """Whether a cup test made that hold: it was recorded with it."""
    tests = cup_tests.of_lots([held.lot_id]).get(held.lot_id, [])
    return any(
        test.recorded_at == held.recorded_at
        and held.reason is not None
        and held.reason.startswith(f"cup test {test.id}:")
        for test in tests
    )
