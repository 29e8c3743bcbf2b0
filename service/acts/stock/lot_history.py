"""A lot's history: its events, and the bays that it stood in."""

from __future__ import annotations

from typing import Any

from ...core.amounts.views import Code
from ...core.bays.temperature import Trace
from ...core.frozen import frozen
from ...core.stock import lots
from ...store.bays import Bay
from ...store.stock import lots as shelf
from ...store.stock.lots import Lot
from ...store.yard import logbook
from ...store.yard.hands import Hand
from ..bays.air import Air, WarmthView, temperatures
from .lot import LotWithWarningsView, show_lot
from .lot_name import name_of

Stays = list[tuple[Bay, Trace]]


@frozen
class StayView(WarmthView):
    """Where a lot stood, and how warm that was."""

    bay: Code
    title: str


DECIDED: dict[str, logbook.Kind] = {
    "held": "held", "released": "released", "extended": "extended"
}  # fmt: skip


def record(
    lot: Lot, kind: str, now: int, hand: Hand, *, at: int | None = None, **facts: Any
) -> None:
    """Add an event to a lot's history; a decision goes into the logbook too.

    Args:
        at: the moment of the event, epoch s; now if it is None.
    """
    if kind in DECIDED:
        about = f"lot {name_of(lot)}"
        logbook.record(DECIDED[kind], about, reason=facts.get("reason"), now=now, hand=hand)
    shelf.add_event(lot.id, kind, at=now if at is None else at, now=now, hand=hand, **facts)


def show_stored(lot: Lot, now: int, stood: Stays | None = None) -> LotWithWarningsView:
    """A lot as of now, with warnings about the temperatures that it was stored at.

    Args:
        stood: as `stays` returns it, if the caller has that already.
    """
    warnings = lots.storage_warnings(seconds_outside(lot, now, stood))
    return show_lot(lot, now, warnings)


def stays(lot: Lot, until: int) -> Stays:
    """The bays that a lot stood in until a moment, each with its air in that time, oldest first.

    A bay's readings are looked up once, however often the lot was carried back to it.
    """
    moved = [event for event in shelf.events_of(lot.id, "moved") if event.at < until]
    edges = [*(event.at for event in moved), until]
    air = Air(edges[0], until)
    return [
        (event.bay, air.of(event.bay).between(event.at, end))
        for event, end in zip(moved, edges[1:], strict=True)
        if event.bay is not None and end > event.at
    ]


def show_stays(stood: Stays) -> list[StayView]:
    """Where a lot stood, from when until when, and how warm it was."""
    return [
        StayView(**vars(temperatures(air)), bay=bay.code, title=bay.title) for bay, air in stood
    ]


def seconds_outside(lot: Lot, now: int, stood: Stays | None = None) -> float:
    """Seconds that a lot was measured outside the storage limits of its label."""
    low, high = (
        None if limit is None else limit / 1000
        for limit in (lot.product.storage_min_mk, lot.product.storage_max_mk)
    )
    if low is None and high is None:
        return 0.0
    known = stays(lot, now) if stood is None else stood
    return sum(lots.seconds_outside(air, low, high) for _, air in known)
