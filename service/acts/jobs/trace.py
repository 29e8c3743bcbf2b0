"""Trace a lot: every job, pot and layup that it went into, and the pieces cut from it."""

from __future__ import annotations

from typing import Any

from ...core.stock import lots
from ...store import tables
from ...store.cure import layups
from ...store.lookup import attach
from ...store.stock import lots as shelf
from ..stock import lot as lot_life
from ..stock import lot_history
from ..stock.draw import show_movements
from ..stock.lot_end import life_of
from . import job as open_job
from . import used_lots


def trace_lot(lot: tables.Lot, now: int) -> dict[str, Any]:
    """Where a lot went, from the ledger's lines; what was undone is not counted."""
    lines = _lines(lot)
    undone = {line.reverses_id for line in lines if line.reverses_id}
    standing = [line for line in lines if line.kind == "draw" and line.id not in undone]
    pots = {line.batch.id: line.batch for line in standing if line.batch}
    jobs = {line.job.id: line.job for line in standing if line.job}
    until = now if lot.on_hand else max((line.at for line in lines), default=now)
    stood = lot_history.stays(lot, until)
    return {
        "lot": lot_history.show_lot(lot, now, stood),
        "life": [{"bound": name, "until_on": end} for name, end in lots.bounds(life_of(lot))],
        "movements": show_movements(lines),
        "batches": [_pot(pot) for pot in pots.values()],
        "layups": [_layup(row) for row in _laid(list(pots))],
        "jobs": [open_job.show_job(job) for job in jobs.values()],
        "pieces": lot_life.show_lots(shelf.pieces_of(lot.id), now),
        "events": [_event(event) for event in _events(lot)],
        "stays": lot_history.show_stays(stood),
        "cup_tests": [used_lots.show_test(test) for test in shelf.cup_tests_of([lot.id])[lot.id]],
        "overrides": [_override(row) for row in _overrides(lot)],
    }


def _lines(lot: tables.Lot) -> list[tables.Movement]:
    """Its movements with what they lead to, each looked up once."""
    lines = shelf.lines_of_lot(lot.id)
    for line in lines:
        line.lot = lot
    attach(lines, tables.Movement.job, tables.Movement.batch)
    attach([line.batch for line in lines if line.batch], tables.Batch.job)
    return lines


def _laid(pots: list[int]) -> list[tables.Layup]:
    rows = layups.layups_of_batches(pots)
    attach(rows, tables.Layup.job)
    return rows


def _events(lot: tables.Lot) -> list[tables.LotEvent]:
    rows = shelf.events_of(lot.id)
    attach(rows, tables.LotEvent.bay)
    return rows


def _overrides(lot: tables.Lot) -> list[tables.Override]:
    rows = tables.Override.select().where(tables.Override.lot == lot.id)
    found = list(rows.order_by(tables.Override.id))
    attach(found, tables.Override.job)
    return found


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
        "verified": row.verified,
    }


def _override(row: tables.Override) -> dict[str, Any]:
    return {
        "slug": row.slug,
        "reason": row.reason,
        "job": row.job.number if row.job else None,
        "batch": row.batch_id,
        "who": row.who,
        "verified": row.verified,
        "at": row.recorded_at,
    }
