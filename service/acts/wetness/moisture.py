"""Moisture readings: record one, list them, and say why one does not count."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Annotated, Any

from ...core.amounts.quantities import TEMPERATURE
from ...core.amounts.views import Code, Moment, View
from ...core.bays.dew_point import dew_point
from ...core.errors import Invalid
from ...core.frozen import frozen
from ...core.wetness import readings
from ...core.wetness.readings import (
    Counting,
    Measures,
    Reading,
    Scale,
    Uncounted,
    apart,
    uncounted,
)
from ...core.words import Text
from ...store import bays, wetness
from ...store.engine.database import writing
from ...store.stock.jobs import Job
from ...store.wetness import READINGS, Meter, MoistureReading, SurfaceNote
from ...store.yard.hands import Hand
from ..yard import conversions, finding, moments
from ..yard.taken_back import WithdrawnView
from . import limits, meters, remarks, surface
from .taken_back import RecordView, signed, withdrawals_of


@frozen
class UncountedView(View):
    """Why a reading does not count."""

    why: Uncounted
    words: Text


@frozen
class MoistureReadingView(RecordView):
    """A reading of a place, its mean with u, and whether it counts."""

    place: str
    meter: Code
    mode: str
    measures: Measures
    placements: list[float]
    reading: float
    at_least: bool
    u: float
    surface_temperature: Annotated[float, TEMPERATURE]
    dew_point: Annotated[float | None, TEMPERATURE]
    bay: Code | None
    dry_place: bool
    counted: bool
    uncounted: list[UncountedView]
    at: Moment


@frozen
class MoistureReadingWithWarningsView(MoistureReadingView):
    """A reading of a place, with what to mind of it."""

    warnings: list[Text]


@frozen
class Judged:
    """A row with its reading, and why it does not count; it counts if there is no reason."""

    row: MoistureReading
    reading: Reading
    scale: Scale
    why: Sequence[tuple[Uncounted, Text]]


def read_moisture(
    job: Job,
    *,
    place: str,
    meter: str,
    mode: str,
    placements: Sequence[Any],
    surface_temperature: Any,
    now: int,
    hand: Hand,
    air: Any = None,
    humidity_percent: Any = None,
    bay: str | None = None,
    dry_place: bool = False,
    at: int | None = None,
) -> MoistureReadingWithWarningsView:
    """Record a reading of a place: three placements or more.

    Args:
        surface_temperature, air: K. bay: where the boat lies; else the yard's only one.
        dry_place: it is of a place known to be dry, for the reference.

    Raises:
        JobClosed. UnknownReference: no such meter, mode or bay. As `moments.happened`.
        Invalid: off the scale, or air without humidity.
    """
    with writing():
        row = finding.open_job(job.number, "/job")
        known = remarks.known_places(row)
        by, spelled = meters.meter_and_mode(meter, mode)
        _check(by, placements, air, humidity_percent)
        there = bays.only_bay() if bay is None else finding.bay(bay, "/bay")
        new = wetness.add(
            "moisture_reading", job_id=row.id, place=place, meter_id=by.id, mode=spelled,
            placements=json.dumps([conversions.milli(each) for each in placements]),
            surface_mk=conversions.milli(surface_temperature),
            air_mk=None if air is None else conversions.milli(air),
            humidity_ppm=conversions.ppm(humidity_percent),
            bay_id=None if there is None else there.id, dry_place=dry_place,
            at=moments.happened(at, now, "/at", by=hand), now=now, hand=hand,
        )  # fmt: skip
        notes = surface.standing_notes(row, now)
        (judged,) = judge([READINGS.of_id(new)], row, notes)
        return MoistureReadingWithWarningsView(
            **vars(show(judged, row, None)),
            warnings=[
                *apart(judged.reading.placements, judged.scale),
                *remarks.of_place(known, place),
                *remarks.of_twin(
                    "moisture_reading", wetness.standing(READINGS, row.id), judged.row
                ),
            ],
        )


def _check(meter: Meter, placements: Sequence[Any], air: Any, humidity: Any) -> None:
    for number, each in enumerate(placements):
        if not meter.low_milli <= conversions.milli(each) <= meter.high_milli:
            ends = f"{meter.low_milli / 1000:g} to {meter.high_milli / 1000:g}"
            raise Invalid(
                f"{each:g} is off the scale of meter {meter.code}, {ends}.",
                advice="Read it again. At the end of the scale give the end itself.",
                pointer=f"/placements/{number}",
            )
    if (air is None) != (humidity is None):
        raise Invalid(
            "The dew point takes the air's temperature and its humidity.",
            advice="Give both 'air' and 'humidity_percent', or the bay alone.",
            pointer="/air" if air is None else "/humidity_percent",
        )


def differ_much(shown: MoistureReadingView) -> bool:
    """Whether a reading's placements are so far apart that one of them may be a slip."""
    by, mode = meters.meter_and_mode(shown.meter, shown.mode)
    return readings.differ_much(shown.placements, meters.scale_of(by, mode))


def list_readings(job: Job, after: int | None, limit: int, now: int) -> list[MoistureReadingView]:
    """Every reading of a job, the last recorded first, after the one with that id."""
    rows = wetness.page(READINGS, job.id, after, limit)
    taken = withdrawals_of("moisture_reading", rows)
    judged = judge(rows, job, surface.standing_notes(job, now))
    return [show(each, job, taken.get(each.row.id)) for each in judged]


def standing_readings(job: Job, now: int, notes: list[SurfaceNote]) -> list[Judged]:
    """The readings of a job that nobody took back, taken by a moment, oldest first."""
    rows = [row for row in wetness.standing(READINGS, job.id) if row.at <= now]
    return judge(sorted(rows, key=lambda row: (row.at, row.id)), job, notes)


def show_standing(job: Job, now: int) -> list[MoistureReadingView]:
    """As `standing_readings`, for an answer."""
    notes = surface.standing_notes(job, now)
    return [show(each, job, None) for each in standing_readings(job, now, notes)]


def judge(rows: Sequence[MoistureReading], job: Job, notes: list[SurfaceNote]) -> list[Judged]:
    """Readings of a job, each with why it does not count."""
    air = wetness.air_of_readings(job.id) if rows else {}
    counting = limits.counting()
    return [_judge(row, notes, counting, air.get(row.id)) for row in rows]


def _judge(
    row: MoistureReading,
    notes: list[SurfaceNote],
    counting: Counting,
    of_bay: tuple[int, int] | None,
) -> Judged:
    own = (row.air_mk, row.humidity_ppm)
    heat, damp = of_bay if of_bay is not None and row.air_mk is None else own
    dew = None if heat is None or not damp else dew_point(heat / 1000, damp / 10_000)
    placements = [each / 1000 for each in json.loads(row.placements)]
    reading = Reading(row.at, placements, row.surface_mk / 1000, dew)
    scale = meters.scale_of(row.meter, row.mode)
    why = uncounted(reading, scale, surface.notes_of(notes, row.place), counting)
    return Judged(row, reading, scale, why)


def show(judged: Judged, job: Job, taken: WithdrawnView | None) -> MoistureReadingView:
    """A reading for an answer."""
    row, reading, scale = judged.row, judged.reading, judged.scale
    return MoistureReadingView(
        **signed(row, job, taken),
        place=row.place,
        meter=row.meter.code,
        mode=row.mode,
        measures=scale.measures,
        placements=list(reading.placements),
        reading=round(reading.value, 2),
        at_least=max(reading.placements) >= scale.high,
        u=round(reading.u(scale), 2),
        surface_temperature=reading.surface,
        dew_point=reading.dew,
        bay=None if row.bay is None else row.bay.code,
        dry_place=row.dry_place,
        counted=taken is None and not judged.why,
        uncounted=[UncountedView(word, words) for word, words in judged.why],
        at=row.at,
    )
