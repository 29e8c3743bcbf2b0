"""Trace a lot: every job, pot and layup that it went into, and the pieces cut from it."""

from __future__ import annotations

from typing import Any

from ...core.stock import lots
from ...store.cure import layups
from ...store.cure.layups import Layup
from ...store.cure.pots import Batch, batches
from ...store.stock import cup_tests
from ...store.stock import lots as shelf
from ...store.stock.lines import of_lot
from ...store.stock.lots import Lot, LotEvent
from ...store.yard import overrides
from ...store.yard.overrides import Override
from ..stock import lot as lot_life
from ..stock import lot_history
from ..stock.draw import show_movements
from ..stock.lot_end import life_of
from . import job as open_job
from . import used_lots


def trace_lot(lot: Lot, now: int) -> dict[str, Any]:
    """Where a lot went, from the ledger's lines; what was undone is not counted."""
    lines = of_lot(lot.id)
    undone = {line.reverses_id for line in lines if line.reverses_id}
    standing = [line for line in lines if line.kind == "draw" and line.id not in undone]
    mixed = batches(line.batch_id for line in standing if line.batch_id is not None)
    jobs = {line.job.id: line.job for line in standing if line.job}
    until = now if lot.on_hand else max((line.at for line in lines), default=now)
    stood = lot_history.stays(lot, until)
    return {
        "lot": lot_history.show_lot(lot, now, stood),
        "life": [{"bound": name, "until_on": end} for name, end in lots.bounds(life_of(lot))],
        "movements": show_movements(lines),
        "batches": [_pot(pot) for pot in mixed],
        "layups": [_layup(row) for row in layups.layups_of_batches(pot.id for pot in mixed)],
        "jobs": [open_job.show_job(job) for job in jobs.values()],
        "pieces": lot_life.show_lots(shelf.pieces_of(lot.id), now),
        "events": [_event(event) for event in shelf.events_of(lot.id)],
        "stays": lot_history.show_stays(stood),
        "cup_tests": [used_lots.show_test(test) for test in cup_tests.of_lots([lot.id])[lot.id]],
        "overrides": [_override(row) for row in overrides.of_lot(lot.id)],
    }


def _pot(row: Batch) -> dict[str, Any]:
    return {
        "id": row.id,
        "job": row.job.number,
        "mixed_at": row.mixed_at,
        "amount": row.resin_mg,
        "who": row.who,
    }


def _layup(row: Layup) -> dict[str, Any]:
    return {
        "id": row.id,
        "job": row.job.number,
        "craft": row.job.craft,
        "title": row.title,
        "kind": row.kind,
        "applied_at": row.applied_at,
        "who": row.who,
    }


def _event(row: LotEvent) -> dict[str, Any]:
    return {
        "kind": row.kind,
        "at": row.at,
        "bay": row.bay.code if row.bay else None,
        "reason": row.reason,
        "from_on": row.from_on,
        "until_on": row.until_on,
        "who": row.who,
        "verified": row.verified,
    }


def _override(row: Override) -> dict[str, Any]:
    return {
        "slug": row.slug,
        "reason": row.reason,
        "job": row.job.number if row.job else None,
        "batch": row.batch_id,
        "who": row.who,
        "verified": row.verified,
        "at": row.recorded_at,
    }
