"""The last thing that a hand entered, whatever its kind."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated, Literal, get_args

from ...core.amounts.quantities import TEMPERATURE
from ...core.amounts.views import Code, Moment, Says, View
from ...core.frozen import frozen
from ...store import bays, last_records, photographs
from ...store.bays import Reading
from ...store.cure import layups, pots
from ...store.cure.layups import Layup, LayupObservation
from ...store.cure.pots import BatchObservation
from ...store.last_records import JobRecord, LastRecord
from ...store.photographs import Photograph
from ...store.stock import lines
from ...store.stock.lines import Movement
from ...store.yard.hands import Hand
from ..yard import conversions
from .movement import MovementView, show_movements

Row = Movement | Layup | LayupObservation | BatchObservation | Reading | Photograph | LastRecord


@frozen
class EnteredView(View):
    """One thing entered, with what it is of."""

    kind: Literal[
        "movement", "layup", "layup_observation", "batch_observation", "reading", "photograph",
        "finding", "moisture_reading", "surface_note", "film_test", "weighed_sample", "leak_test",
        "lot_event", "cup_test", "need", "layup_move", "layup_probe", "signature", "acceptance",
        "plan", "meter", "cure_sheet", "bay_pattern", "sequence",
    ]  # fmt: skip
    who: str
    recorded_at: Moment


@frozen
class EnteredMovementsView(EnteredView):
    """The lines of the ledger that one act wrote."""

    movements: list[MovementView]
    batch: int | None


@frozen
class EnteredLayupView(EnteredView):
    """A layup."""

    layup: int
    title: str
    job: Code
    at: Moment


@frozen
class EnteredLayupObservationView(EnteredLayupView):
    """An observation of a layup."""

    observation: int
    seen: str


@frozen
class EnteredPotObservationView(EnteredView):
    """An observation of a pot."""

    batch: int
    job: Code
    observation: int
    seen: str
    at: Moment


@frozen
class EnteredReadingView(EnteredView):
    """The last of the readings of a bay that were entered together."""

    bay: Code
    reading: int
    readings: Annotated[int, Says("How many were entered with it.")]
    temperature: Annotated[Decimal, TEMPERATURE]
    at: Moment


@frozen
class EnteredPhotographView(EnteredView):
    """A photograph."""

    photograph: int
    shows: str
    at: Moment


@frozen
class EnteredJobRecordView(EnteredView):
    """A record of a job's wetness, or a leak test; `seen` is a word of what it says."""

    record: int
    job: Code
    place: str | None
    seen: str | None
    at: Moment


@frozen
class EnteredKeptView(EnteredView):
    """A record that is not taken back by its number: something else is entered over it."""

    record: int
    of: Annotated[str, Says("The job, lot, layup or other thing, by its number or name.")]
    seen: str | None
    at: Moment


Entered = (
    EnteredMovementsView
    | EnteredLayupView
    | EnteredLayupObservationView
    | EnteredPotObservationView
    | EnteredReadingView
    | EnteredPhotographView
    | EnteredJobRecordView
    | EnteredKeptView
)


@frozen
class LastEntryView(View):
    """What somebody entered last, of what still stands."""

    entry: Entered | None


def last_entry(who: Hand | str) -> LastEntryView:
    """The last thing that a hand entered, also where it can't be taken back by its number.

    Args:
        who: a hand, or the name of one.
    """
    row = _last(who)
    return LastEntryView(None if row is None else _show(row))


def _last(who: Hand | str) -> Row | None:
    """The last row; of several in one second the one that builds on the others.

    A photograph is of a layup, an observation builds on a layup, and a layup on the stock drawn.
    """
    found: list[Row | None] = [
        photographs.last_kept(who),
        layups.last_seen(who),
        pots.last_seen(who),
        layups.last_laid(who),
        lines.last_moved(who),
        bays.last_entered(who),
        *last_records.last_of_jobs(who),
        *last_records.last_kept(who),
    ]
    rows = [row for row in found if row is not None]
    return max(rows, key=lambda row: row.recorded_at, default=None)


def _show(row: Row) -> Entered:
    if isinstance(row, LastRecord):
        return _show_record(row)
    if isinstance(row, Movement):
        movements = show_movements(lines.written_with(row))
        return EnteredMovementsView(
            "movement", row.who, row.recorded_at, movements=movements, batch=row.batch_id
        )
    if isinstance(row, Layup):
        return EnteredLayupView(
            "layup",
            row.who,
            row.recorded_at,
            layup=row.id,
            title=row.title,
            job=row.job.number,
            at=row.applied_at,
        )
    if isinstance(row, LayupObservation):
        return _show_layup_observation(row)
    if isinstance(row, BatchObservation):
        return _show_pot_observation(row)
    if isinstance(row, Photograph):
        return EnteredPhotographView(
            "photograph",
            row.who,
            row.recorded_at,
            photograph=row.id,
            shows=row.shows,
            at=row.recorded_at,
        )
    return _show_reading(row)


def _show_record(row: LastRecord) -> EnteredJobRecordView | EnteredKeptView:
    if row.kind in get_args(JobRecord):
        return EnteredJobRecordView(
            row.kind, row.who, row.recorded_at, record=row.id, job=row.of, place=row.place,
            seen=row.seen, at=row.at,
        )  # fmt: skip
    return EnteredKeptView(
        row.kind, row.who, row.recorded_at, record=row.id, of=row.of, seen=row.seen, at=row.at
    )


def _show_layup_observation(row: LayupObservation) -> EnteredLayupObservationView:
    layup = layups.layup(row.layup_id)
    return EnteredLayupObservationView(
        "layup_observation",
        row.who,
        row.recorded_at,
        layup=layup.id,
        title=layup.title,
        job=layup.job.number,
        at=row.at,
        observation=row.id,
        seen=row.kind,
    )


def _show_pot_observation(row: BatchObservation) -> EnteredPotObservationView:
    return EnteredPotObservationView(
        "batch_observation",
        row.who,
        row.recorded_at,
        batch=row.batch_id,
        job=pots.batch(row.batch_id).job.number,
        observation=row.id,
        seen=row.kind,
        at=row.at,
    )


def _show_reading(row: Reading) -> EnteredReadingView:
    return EnteredReadingView(
        "reading",
        row.who,
        row.recorded_at,
        bay=bays.bay(row.bay_id).code,
        reading=row.id,
        readings=len(bays.entered_with(row)),
        temperature=conversions.kelvin(row.temperature_mk),
        at=row.at,
    )
