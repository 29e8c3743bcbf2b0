"""What a hand entered last, so that it can be taken back."""

from __future__ import annotations

from typing import Any

from ...store import bays, tables
from ...store.stock import entries
from ...store.stock.entries import Who
from ..yard import conversions as units
from ..yard import finding
from .draw import show_movements


def last_entry(who: Who) -> dict[str, Any] | None:
    """The last thing that a hand entered, of what stands and may be taken back; None if nothing.

    Args:
        who: a hand, or the name of one.

    Returns:
        Its `kind`, `who` and `recorded_at`, and what it is of: the `movements` of one act, or a
        `layup`, an `observation` of one or of a `batch`, or the last of some `readings` of a `bay`.
    """
    row = entries.last(who)
    if row is None:
        return None
    kind, shown = _shown(row)
    return {"kind": kind, "who": row.who, "recorded_at": row.recorded_at, **shown}


def show_line(movement: int) -> dict[str, Any]:
    """One line of the ledger. Raises: NotFound."""
    return show_movements([finding.movement(movement)])[0]


def _shown(row: tables.Recorded) -> tuple[str, dict[str, Any]]:
    if isinstance(row, tables.Movement):
        lines = entries.written_with(row)
        return "movement", {"movements": show_movements(lines), "batch": row.batch_id}
    if isinstance(row, tables.Layup):
        return "layup", {"layup": row.id, **_of_layup(row), "at": row.applied_at}
    if isinstance(row, tables.LayupObservation):
        of = {"layup": row.layup_id, **_of_layup(row.layup)}
        return "layup_observation", {"observation": row.id, "seen": row.kind, "at": row.at, **of}
    if isinstance(row, tables.BatchObservation):
        of = {"batch": row.batch_id, "job": row.batch.job.number}
        return "batch_observation", {"observation": row.id, "seen": row.kind, "at": row.at, **of}
    if isinstance(row, tables.Reading):
        return "reading", _of_reading(row)
    raise TypeError(f"{row} is no entry")


def _of_layup(row: tables.Layup) -> dict[str, Any]:
    return {"title": row.title, "job": row.job.number}


def _of_reading(row: tables.Reading) -> dict[str, Any]:
    return {
        "bay": row.bay.code,
        "reading": row.id,
        "readings": len(bays.entered_with(row)),
        "temperature": units.kelvin(row.temperature_mk),
        "at": row.at,
    }
