"""What befell a lot: written as it happens, and where it stood told from that."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

from ..core import lots
from ..core.temperature import Trace
from ..store import logbook, shelf, tables
from ..store.hands import Hand
from ..store.lookup import attach
from . import bay_air, lot_life

DECIDED: dict[str, logbook.Kind] = {
    "held": "held", "released": "released", "extended": "extended"
}  # fmt: skip


def record(lot: tables.Lot, kind: str, now: int, hand: Hand, **facts: Any) -> None:
    """Write what befell a lot into its history, and what was decided of it into the logbook."""
    if kind in DECIDED:
        about = f"lot {lot_life.name_of(lot)}"
        logbook.record(DECIDED[kind], about, reason=facts.get("reason"), now=now, hand=hand)
    tables.LotEvent.create(lot=lot.id, kind=kind, at=now, **facts, **hand.signed(now))


def show_lot(lot: tables.Lot, now: int) -> dict[str, Any]:
    """A lot as of now, with what the places that it stood in did to it."""
    warnings = lots.storage_warnings(seconds_outside(lot, now))
    return {**lot_life.show_lot(lot, now), "warnings": warnings}


def seconds_outside(lot: tables.Lot, now: int) -> float:
    """Seconds that were measured outside its label's storage limits, wherever it stood."""
    low, high = (
        None if limit is None else limit / 1000
        for limit in (lot.product.storage_min_mk, lot.product.storage_max_mk)
    )
    if low is None and high is None:
        return 0.0
    return sum(lots.seconds_outside(air, low, high) for *_, air in _stays(lot, now))


def show_stays(lot: tables.Lot, now: int) -> list[dict[str, Any]]:
    """Where a lot stood, from when until when (epoch s), and how warm that was; oldest first."""
    return [
        {"bay": bay.code, "title": bay.title, **bay_air.temperatures(air)}
        for bay, air in _stays(lot, now)
    ]


def _stays(lot: tables.Lot, now: int) -> list[tuple[tables.Bay, Trace]]:
    """The bays that a lot stood in, each with its air meanwhile; a bay is read once."""
    moved = shelf.events_of(lot.id, "moved")
    attach(moved, tables.LotEvent.bay)
    ends = [(event.at, event.bay) for event in moved] + [(now, None)]
    air = bay_air.Air(ends[0][0], now)
    return [
        (bay, air.of(bay).between(since, until))
        for (since, bay), (until, _) in pairwise(ends)
        if bay is not None and until > since
    ]
