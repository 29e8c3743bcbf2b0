"""Film taped over a place for a day, and a sample of it that is weighed and dried."""

from __future__ import annotations

from typing import Annotated, Any

from ...core.amounts.quantities import DOSE_MASS
from ...core.amounts.views import Moment
from ...core.errors import Invalid
from ...core.frozen import frozen
from ...core.gates import dry
from ...core.wetness.readings import water_percent
from ...core.words import Text
from ...store import wetness
from ...store.engine.database import writing
from ...store.stock.jobs import Job
from ...store.wetness import FILMS, SAMPLES, FilmTest, WeighedSample
from ...store.yard.hands import Hand
from ..yard import finding, moments
from ..yard.taken_back import WithdrawnView
from . import limits, remarks
from .taken_back import RecordView, signed, withdrawals_of

MOST_FILM_S = 30 * 86_400
"""The longest that film is on; longer is a slip of the date (the yard's own margin, no source)."""


@frozen
class FilmTestView(RecordView):
    """Film that was taped over a place, and whether drops were under it."""

    place: str
    taped_at: Moment
    looked_at: Moment
    drops: bool
    counted: bool
    uncounted: Text | None


@frozen
class FilmTestWithWarningsView(FilmTestView):
    """A film test, with what to mind of it."""

    warnings: list[Text]


@frozen
class WeighedSampleView(RecordView):
    """A sample that was weighed, dried and weighed again: water in percent of its dried mass."""

    place: str
    wet: Annotated[int, DOSE_MASS]
    dried: Annotated[int, DOSE_MASS]
    water_percent: float
    at: Moment


@frozen
class WeighedSampleWithWarningsView(WeighedSampleView):
    """A weighed sample, with what to mind of it."""

    warnings: list[Text]


def record_film(
    job: Job,
    *,
    place: str,
    taped_at: int,
    drops: bool,
    now: int,
    hand: Hand,
    looked_at: int | None = None,
) -> FilmTestWithWarningsView:
    """Record what was under a film: after ASTM D4263, from memory.

    Args:
        taped_at, looked_at: epoch s; without the latter, now.

    Raises: JobClosed. Invalid: looked at before it was taped on, or more than 30 days after. As
        `moments.happened`.
    """
    with writing():
        row = finding.open_job(job.number, "/job")
        known = remarks.known_places(row)
        seen = moments.happened(looked_at, now, "/looked_at", by=hand)
        if seen <= taped_at:
            raise Invalid(
                "The film was looked at before it was taped on.",
                advice="Check both times.",
                pointer="/taped_at",
            )
        if seen - taped_at > MOST_FILM_S:
            raise Invalid(
                "The film would have been on for more than 30 days.",
                advice="Check the day and the year that it was taped on.",
                pointer="/taped_at",
            )
        new = wetness.add(
            "film_test", job_id=row.id, place=place, taped_at=taped_at, looked_at=seen,
            drops=drops, now=now, hand=hand,
        )  # fmt: skip
        kept = FILMS.of_id(new)
        return FilmTestWithWarningsView(
            **vars(show_film(kept, row, film_needed())),
            warnings=[
                *remarks.of_place(known, place),
                *remarks.of_twin("film_test", wetness.standing(FILMS, row.id), kept),
            ],
        )


def film_needed() -> float:
    """How long film is on for the gate of dryness, s."""
    return limits.rule().limits["film"]


def list_films(job: Job, after: int | None, limit: int) -> list[FilmTestView]:
    """Every film test of a job, the last recorded first, after the one with that id."""
    rows = wetness.page(FILMS, job.id, after, limit)
    taken = withdrawals_of("film_test", rows)
    needed = film_needed()
    return [show_film(row, job, needed, taken.get(row.id)) for row in rows]


def standing_films(job: Job) -> list[FilmTestView]:
    """The film tests of a job that nobody took back, as they were recorded."""
    needed = film_needed()
    return [show_film(row, job, needed) for row in wetness.standing(FILMS, job.id)]


def record_sample(
    job: Job,
    *,
    place: str,
    wet: Any,
    dried: Any,
    now: int,
    hand: Hand,
    at: int | None = None,
) -> WeighedSampleWithWarningsView:
    """Record a weighed sample; `wet` and `dried` in mg.

    Raises: JobClosed. Invalid: it is heavier dried. As `moments.happened`.
    """
    with writing():
        row = finding.open_job(job.number, "/job")
        known = remarks.known_places(row)
        if round(dried) == 0:
            raise Invalid(
                "The dried sample weighs nothing.",
                advice="Weigh more of it: a milligram is the least.",
                pointer="/dried",
            )
        if round(dried) > round(wet):
            raise Invalid(
                "The sample is heavier dried than wet.",
                advice="Check both masses: the first is before drying.",
                pointer="/dried",
            )
        new = wetness.add(
            "weighed_sample", job_id=row.id, place=place, wet_mg=round(wet),
            dried_mg=round(dried), at=moments.happened(at, now, "/at", by=hand),
            now=now, hand=hand,
        )  # fmt: skip
        kept = SAMPLES.of_id(new)
        return WeighedSampleWithWarningsView(
            **vars(show_sample(kept, row)),
            warnings=[
                *remarks.of_place(known, place),
                *remarks.of_twin("weighed_sample", wetness.standing(SAMPLES, row.id), kept),
            ],
        )


def list_samples(job: Job, after: int | None, limit: int) -> list[WeighedSampleView]:
    """Every weighed sample of a job, the last recorded first, after the one with that id."""
    rows = wetness.page(SAMPLES, job.id, after, limit)
    taken = withdrawals_of("weighed_sample", rows)
    return [show_sample(row, job, taken.get(row.id)) for row in rows]


def film_of(row: FilmTest) -> dry.Film:
    """A film as the gate of dryness judges it."""
    return dry.Film(row.taped_at, row.looked_at, row.drops)


def counts(row: FilmTest, needed: float) -> bool:
    """Whether a film shows something: it was on for as long as is needed (s), or drops came."""
    return film_of(row).counts(needed)


def show_film(
    row: FilmTest, job: Job, needed: float, taken: WithdrawnView | None = None
) -> FilmTestView:
    """A film test for an answer; `needed` as `film_needed`."""
    hours = (row.looked_at - row.taped_at) / 3600
    short = f"It was on for {hours:.0f} h: under {needed / 3600:.0f} h no drops say nothing."
    enough = counts(row, needed)
    return FilmTestView(
        **signed(row, job, taken),
        place=row.place,
        taped_at=row.taped_at,
        looked_at=row.looked_at,
        drops=row.drops,
        counted=taken is None and enough,
        uncounted=None if enough else short,
    )


def show_sample(
    row: WeighedSample, job: Job, taken: WithdrawnView | None = None
) -> WeighedSampleView:
    """A weighed sample for an answer."""
    return WeighedSampleView(
        **signed(row, job, taken),
        place=row.place,
        wet=row.wet_mg,
        dried=row.dried_mg,
        water_percent=round(water_percent(row.wet_mg, row.dried_mg), 2),
        at=row.at,
    )
