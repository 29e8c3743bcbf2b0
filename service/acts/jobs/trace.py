"""Trace a lot: every job, pot and layup that it went into, and the pieces cut from it."""

from __future__ import annotations

from datetime import date
from typing import Annotated

from ...core.amounts.quantities import DOSE_MASS
from ...core.amounts.views import Code, Moment, View
from ...core.frozen import frozen
from ...core.stock import lots
from ...core.stock.lots import Bound
from ...store.cure import layups
from ...store.cure.layups import Layup
from ...store.cure.pots import Batch, batches
from ...store.stock import cup_tests
from ...store.stock import lots as shelf
from ...store.stock.lines import of_lot
from ...store.stock.lots import Lot, LotEvent
from ...store.yard import overrides
from ...store.yard.overrides import Override
from ..stock import lot_history
from ..stock.lot import LotView, LotWithWarningsView, show_lots
from ..stock.lot_history import StayView
from ..stock.lot_life import life_of
from ..stock.movement import MovementView, show_movements
from .job import JobView, show_job
from .used_lots import CupView, show_test


@frozen
class BoundView(View):
    """A last day that bounds a lot's life, and what sets it; the earliest rules."""

    bound: Bound
    until_on: date


@frozen
class TracedPot(View):
    """A pot that a lot went into."""

    id: int
    job: Code
    mixed_at: Moment
    amount: Annotated[int, DOSE_MASS]
    who: str


@frozen
class TracedLayup(View):
    """A layup that a lot went into."""

    id: int
    job: Code
    craft: str
    title: str
    kind: str
    applied_at: Moment
    who: str


@frozen
class EventView(View):
    """A lot moved, held, released, opened, dated or extended."""

    kind: str
    at: Moment
    bay: Code | None
    reason: str | None
    from_on: date | None
    until_on: date | None
    who: str
    verified: bool


@frozen
class LotOverride(View):
    """A refusal that was set aside for a lot."""

    slug: str
    reason: str
    job: Code | None
    batch: int | None
    who: str
    verified: bool
    at: Moment


@frozen
class TraceView(View):
    """Where a lot stood, and where it went."""

    lot: LotWithWarningsView
    life: list[BoundView]
    jobs: list[JobView]
    movements: list[MovementView]
    batches: list[TracedPot]
    layups: list[TracedLayup]
    pieces: list[LotView]
    events: list[EventView]
    stays: list[StayView]
    cup_tests: list[CupView]
    overrides: list[LotOverride]


def trace_lot(lot: Lot, now: int) -> TraceView:
    """Where a lot stood, and where it went by the ledger; reversed movements are not counted."""
    lines = of_lot(lot.id)
    undone = {line.reverses_id for line in lines if line.reverses_id}
    standing = [line for line in lines if line.kind == "draw" and line.id not in undone]
    mixed = batches(line.batch_id for line in standing if line.batch_id is not None)
    jobs = {line.job.id: line.job for line in standing if line.job}
    until = now if lot.on_hand else max((line.at for line in lines), default=now)
    stood = lot_history.stays(lot, until)
    return TraceView(
        lot=lot_history.show_stored(lot, now, stood),
        life=[BoundView(name, end) for name, end in lots.bounds(life_of(lot))],
        jobs=[show_job(job) for job in jobs.values()],
        movements=show_movements(lines),
        batches=[_pot(pot) for pot in mixed],
        layups=[_layup(row) for row in layups.layups_of_batches(pot.id for pot in mixed)],
        pieces=show_lots(shelf.pieces_of(lot.id), now),
        events=[_event(event) for event in shelf.events_of(lot.id)],
        stays=lot_history.show_stays(stood),
        cup_tests=[show_test(test) for test in cup_tests.of_lots([lot.id])[lot.id]],
        overrides=[_override(row) for row in overrides.of_lot(lot.id)],
    )


def _pot(row: Batch) -> TracedPot:
    return TracedPot(row.id, row.job.number, row.mixed_at, row.resin_mg, row.who)


def _layup(row: Layup) -> TracedLayup:
    return TracedLayup(
        id=row.id,
        job=row.job.number,
        craft=row.job.craft,
        title=row.title,
        kind=row.kind,
        applied_at=row.applied_at,
        who=row.who,
    )


def _event(row: LotEvent) -> EventView:
    return EventView(
        kind=row.kind,
        at=row.at,
        bay=row.bay.code if row.bay else None,
        reason=row.reason,
        from_on=row.from_on,
        until_on=row.until_on,
        who=row.who,
        verified=row.verified,
    )


def _override(row: Override) -> LotOverride:
    return LotOverride(
        slug=row.slug,
        reason=row.reason,
        job=row.job.number if row.job else None,
        batch=row.batch_id,
        who=row.who,
        verified=row.verified,
        at=row.recorded_at,
    )
