"""What a hand entered last, so that it can be taken back."""

from __future__ import annotations

from typing import Any

from ...store import bays
from ...store.bays import Reading
from ...store.cure import layups, pots
from ...store.cure.layups import Layup, LayupObservation
from ...store.cure.pots import BatchObservation
from ...store.stock import lines
from ...store.stock.lines import Movement
from ...store.yard.hands import Hand
from ..yard import conversions as units
from ..yard import finding
from .draw import MovementView, show_movements

Entry = Movement | Layup | LayupObservation | BatchObservation | Reading


def last_entry(who: Hand | str) -> dict[str, Any] | None:
    """The last thing that a hand entered, of what stands and may be taken back; None if nothing.

    Args:
        who: a hand, or the name of one.

    Returns:
        Its `kind`, `who` and `recorded_at`, and what it is of: the `movements` of one act, or a
        `layup`, an `observation` of one or of a `batch`, or the last of some `readings` of a `bay`.
    """
    row = _last(who)
    if row is None:
        return None
    kind, shown = _shown(row)
    return {"kind": kind, "who": row.who, "recorded_at": row.recorded_at, **shown}


def show_line(movement: int) -> MovementView:
    """One line of the ledger. Raises: NotFound."""
    return show_movements([finding.movement(movement)])[0]


def _last(who: Hand | str) -> Entry | None:
    """Of one second, what builds on another thing is later: a look, its layup, the stock drawn."""
    found: list[Entry | None] = [
        layups.last_seen(who), pots.last_seen(who), layups.last_laid(who), lines.last_moved(who),
        bays.last_entered(who),
    ]  # fmt: skip
    rows = [row for row in found if row is not None]
    return max(rows, key=lambda row: row.recorded_at, default=None)


def _shown(row: Entry) -> tuple[str, dict[str, Any]]:
    if isinstance(row, Movement):
        written = lines.written_with(row)
        return "movement", {"movements": show_movements(written), "batch": row.batch_id}
    if isinstance(row, Layup):
        return "layup", {"layup": row.id, **_of_layup(row), "at": row.applied_at}
    if isinstance(row, LayupObservation):
        of = {"layup": row.layup_id, **_of_layup(layups.layup(row.layup_id))}
        return "layup_observation", {"observation": row.id, "seen": row.kind, "at": row.at, **of}
    if isinstance(row, BatchObservation):
        of = {"batch": row.batch_id, "job": pots.batch(row.batch_id).job.number}
        return "batch_observation", {"observation": row.id, "seen": row.kind, "at": row.at, **of}
    return "reading", _of_reading(row)


def _of_layup(row: Layup) -> dict[str, Any]:
    return {"title": row.title, "job": row.job.number}


def _of_reading(row: Reading) -> dict[str, Any]:
    return {
        "bay": bays.bay(row.bay_id).code,
        "reading": row.id,
        "readings": len(bays.entered_with(row)),
        "temperature": units.kelvin(row.temperature_mk),
        "at": row.at,
    }
