"""How wet a job's places read, against which reference, and when to measure again."""

from __future__ import annotations

from ...core.amounts.views import Code, Moment, View
from ...core.frozen import frozen
from ...core.gates import dry
from ...core.wetness.readings import Measures, Reading, Reference, Scale, Uncounted
from ...core.words import Text
from ...store import wetness
from ...store.lookup import key_of
from ...store.stock.jobs import Job
from ...store.wetness import SAMPLES
from . import places, samples
from .again import MeasureAgainView, measure_again, stretch
from .places import By, Means, Place, Places, Series
from .samples import FilmTestView, WeighedSampleView

CAUTIONS = [
    "A window of days says when to measure again, never that it is dry on a day. Six readings "
    "notice a part that something keeps wet in about one case of five, and in fewer where it "
    "dries slowly.",
    "Antifouling, metal, carbon, tanks, bilge water and salt read wet; a dry skin hides a wet "
    "core.",
    "Heat on a wet laminate blisters it, and vacuum crushes an open core.",
    "The resin's data sheet, class or local rules and a licensed surveyor decide, not this.",
]
SOURCES = [
    "Bare patches, and a place a square metre: IIMS, Code of Practice on wetness of FRP hulls, "
    "1998, at second hand.",
    "Heat and vacuum: US Army TM 1-1500-204-23-11, 6-6.",
]


@frozen
class MoistureReferenceView(View):
    """What dry places of the boat read by one meter in one mode; null under three of them."""

    meter: Code
    mode: str
    measures: Measures
    places: int
    reference: float | None
    u: float | None
    figure: float | None
    uncounted: list[Uncounted]


@frozen
class MoistureSeriesView(View):
    """A place by one meter in one mode: its last counted reading, and when to measure again."""

    meter: Code
    mode: str
    measures: Measures
    counted: int
    last: float | None
    last_at: Moment | None
    figure: float | None
    since: Moment | None
    used: int
    reads: Text
    since_read: str | None
    measure_again: MeasureAgainView


@frozen
class WetPlaceView(View):
    """A place that is to be dry."""

    place: str
    series: list[MoistureSeriesView]
    dry_place: bool
    film: FilmTestView | None
    samples: list[WeighedSampleView]


@frozen
class WetnessView(View):
    """How wet a job's places read."""

    job: Code
    places: list[WetPlaceView]
    references: list[MoistureReferenceView]
    cautions: list[str]
    sources: list[str]


def show_wetness(job: Job, now: int) -> WetnessView:
    """How wet a job's places read at a moment, by the limits of the gate of dryness."""
    known = places.of_job(job, now)
    means, needed = Means(known, now), samples.film_needed()
    weighed: dict[str, list[WeighedSampleView]] = {}
    for row in wetness.standing(SAMPLES, job.id):
        weighed.setdefault(row.place_key, []).append(samples.show_sample(row, job))
    return WetnessView(
        job=job.number,
        places=[
            WetPlaceView(
                place.name,
                [_series(one, place, known, now, means) for one in place.series.values()],
                place.read_dry,
                None if place.film is None else samples.show_film(place.film, job, needed),
                weighed.get(key_of(place.name), []),
            )
            for place in known.places.values()
        ],
        references=[_reference(by, known) for by in known.scales],
        cautions=CAUTIONS,
        sources=SOURCES,
    )


def _series(one: Series, place: Place, known: Places, now: int, means: Means) -> MoistureSeriesView:
    reference = known.reference(one.by)
    readings = one.readings
    here = stretch(readings, place.notes, now, means.of(one.counted))
    last = readings[-1] if readings else None
    newest = max([*readings, *one.at_least], key=lambda each: each.at, default=None)
    return MoistureSeriesView(
        meter=one.by.meter,
        mode=one.by.mode,
        measures=one.scale.measures,
        counted=len(readings),
        last=None if last is None else round(last.value, 2),
        last_at=None if last is None else last.at,
        figure=None if reference is None else round(reference.figure, 2),
        since=here.start,
        used=len(here.used),
        reads=_reads(newest, newest in one.at_least, one.scale, reference),
        since_read=None if newest is None else _since_read(place, newest),
        measure_again=measure_again(here, one.scale, reference, newest, now),
    )


def _reads(
    newest: Reading | None, at_least: bool, scale: Scale, reference: Reference | None
) -> str:
    """What a place reads, and against what."""
    if newest is None:
        return "No reading counts yet."
    most = "at least " if at_least and newest.value < scale.high else ""
    reads = f"It reads {most}{scale.say(newest.value)}"
    if reference is None or reference.is_loose:
        return f"{reads}, and there is no reference to compare it with."
    figure = scale.say(reference.figure)
    return f"{reads}, {'over' if newest.value > reference.figure else 'at or under'} {figure}."


def _since_read(place: Place, newest: Reading) -> str | None:
    came = dry.came_since(place.notes, newest.at)
    return f"Since then {came}." if came else None


def _reference(by: By, known: Places) -> MoistureReferenceView:
    found = known.reference(by)
    return MoistureReferenceView(
        meter=by.meter,
        mode=by.mode,
        measures=known.scales[by].measures,
        places=len(known.dry_places.get(by, [])),
        reference=None if found is None else round(found.value, 2),
        u=None if found is None else round(found.u, 2),
        figure=None if found is None else round(found.figure, 2),
        uncounted=sorted(known.not_dry.get(by, ())),
    )
