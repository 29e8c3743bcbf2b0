"""Trace a lot: every job, pot and layup that it went into, and the pieces cut from it."""

from __future__ import annotations

from typing import Any

from ..store import layups, shelf, tables
from . import lot_life, open_job
from .draw import show_movement


def trace_lot(lot: tables.Lot, now: int) -> dict[str, Any]:
    """Where a lot went, from the ledger's lines; what was undone is not counted."""
    lines = shelf.lines_of_lot(lot.id)
    undone = {line.reverses_id for line in lines if line.reverses_id}
    standing = [line for line in lines if line.kind == "draw" and line.id not in undone]
    pots = {line.batch.id: line.batch for line in standing if line.batch}
    jobs = {line.job.id: line.job for line in standing if line.job}
    laid = {row.id: row for pot in pots for row in layups.layups_of_batch(pot)}
    return {
        "lot": lot_life.show_lot(lot, now),
        "movements": [show_movement(line) for line in lines],
        "batches": [_pot(pot) for pot in pots.values()],
        "layups": [_layup(row) for row in laid.values()],
        "jobs": [open_job.show_job(job) for job in jobs.values()],
        "pieces": lot_life.show_lots(shelf.pieces_of(lot.id), now),
        "events": [_event(event) for event in shelf.events_of(lot.id)],
    }


def _pot(row: tables.Batch) -> dict[str, Any]:
    return {
        "id": row.id,
        "job": row.job.number,
        "mixed_at": row.mixed_at,
        "amount": row.resin_mg,
        "who": row.who,
    }


def _layup(row: tables.Layup) -> dict[str, Any]:
    return {
        "id": row.id,
        "job": row.job.number,
        "craft": row.job.craft,
        "title": row.title,
        "kind": row.kind,
        "applied_at": row.applied_at,
        "who": row.who,
    }


def _event(row: tables.LotEvent) -> dict[str, Any]:
    return {
        "kind": row.kind,
        "at": row.at,
        "bay": row.bay.code if row.bay else None,
        "reason": row.reason,
        "from_on": row.from_on,
        "until_on": row.until_on,
        "who": row.who,
    }
