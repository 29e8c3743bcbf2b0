"""What to do now: windows open and closing, what can be sanded, stock that is going off."""

from __future__ import annotations

from typing import Any

from ...core.cure.turns import CLOSING_SOON_S
from ...store import bays
from ...store.bays import Bay
from ...store.cure import layups
from ...store.stock import lots as shelf
from ..bays import air as bay_air
from ..cure import watch
from ..cure.watch import Watched
from ..pots import unlaid
from ..stock import lot as lot_life
from ..stock.lot import LotView
from ..yard import conversions as units
from ..yard import moments

_ORDER = ("probe", "heat", "coat", "touch", "prepare", "wait", "none")


def what_now(now: int) -> dict[str, Any]:
    """The yard at a moment: actions by urgency, layups, pots not laid up, lots and bays."""
    watched = watch.watch_all(layups.open_layups(), now)
    return {
        "at": now,
        "actions": sorted((action(w, now) for w in watched), key=urgency),
        "layups": [watch.show(w) for w in watched],
        "pots": unlaid.pots(now),
        "lots": lots(now),
        "bays": bays_now(now),
    }


def action(watched: Watched, now: int) -> dict[str, Any]:
    """What to do with a layup, and whether that is because its window is about to shut."""
    step = watched.step
    shuts = step.at if step.action in ("coat", "touch") and "recoat_open" in watched.signs else None
    closing = shuts is not None and shuts - now <= CLOSING_SOON_S
    return {
        "layup": watched.row.id,
        "job": watched.row.job.number,
        "craft": watched.row.job.craft,
        "title": watched.row.title,
        "action": step.action,
        "text": step.text,
        "at": step.at,
        "closing": closing,
    }


def urgency(action: dict[str, Any]) -> tuple[bool, int, float]:
    """What sorts actions: a window about to shut first, trouble next, waiting last."""
    at = action["at"]
    return (not action["closing"], _ORDER.index(action["action"]), at if at else float("inf"))


def lots(now: int) -> dict[str, list[LotView]]:
    """The lots to see to, by their state; 'undated' are good ones whose date nobody gave."""
    rows = shelf.stocked_lots()
    states, notes = lot_life.standing(rows, moments.day_of(now))
    told: dict[str, list[LotView]] = {"expired": [], "soon": [], "held": [], "undated": []}
    wanted = [row for row in rows if states[row.id] in told or notes[row.id]]
    for lot in lot_life.show_lots(wanted, now):
        told[lot.state if lot.state in told else "undated"].append(lot)
    return told


def bays_now(now: int) -> list[dict[str, Any]]:
    """Every bay's air at a moment, and what that rests on."""
    rows = bays.all_bays()
    air = bay_air.taken_each(rows, now)
    return [_bay(row, air[row.id]) for row in rows]


def _bay(row: Bay, air: bay_air.Taken) -> dict[str, Any]:
    return {
        "code": row.code,
        "title": row.title,
        "temperature": air.temperature,
        "basis": air.basis,
        "read": air.show_read(),
        "at": None if air.read is None else air.read[1],
        "uncertainty": units.kelvin(row.uncertainty_mk),
    }
