"""What to do now: windows open and closing, what can be sanded, stock that is going off."""

from __future__ import annotations

from typing import Any

from ..core.turns import CLOSING_SOON_S
from ..store import bays, layups, shelf, tables
from . import bay_air, lot_life, moments, units, unlaid, watch
from .watch import Watched

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


def lots(now: int) -> dict[str, list[dict[str, Any]]]:
    """The lots to see to, by their state."""
    rows = shelf.stocked_lots()
    states = lot_life.states_of(rows, moments.day_of(now))
    told: dict[str, list[dict[str, Any]]] = {"expired": [], "soon": [], "held": []}
    for lot in lot_life.show_lots([row for row in rows if states[row.id] in told], now):
        told[lot["state"]].append(lot)
    return told


def bays_now(now: int) -> list[dict[str, Any]]:
    """Every bay's air at a moment, and what that rests on."""
    return [_bay(row, now) for row in tables.Bay.select().order_by(tables.Bay.id)]


def _bay(row: tables.Bay, now: int) -> dict[str, Any]:
    latest = bays.latest_reading(row.id)
    fresh = latest is not None and now - latest.at <= row.gap_max_s
    return {
        "code": row.code,
        "title": row.title,
        "temperature": bay_air.at(row, now),
        "basis": "measured" if fresh else "assumed",
        "at": latest.at if latest and fresh else None,
        "uncertainty": units.kelvin(row.uncertainty_mk),
    }
