"""When to measure a place again: a window of days with its chance, or why none is said."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Literal

from ...core.amounts.views import View
from ...core.frozen import frozen
from ...core.wetness.drying import AHEAD, LEAST_DAYS, LEAST_READINGS, Dries, Points, dries
from ...core.wetness.readings import Note, Reading, Reference, Scale
from ...core.wetness.stretches import Mean, begun, used
from ..yard import moments

DAY = 86_400

NoDay = Literal[
    "few_readings", "hardly_falls", "levelling_off", "no_shape_fits", "no_reference", "at_figure"
]
"""Why no day is said: as the fit has it, or because there is nothing to fit."""


@frozen
class MeasureAgainView(View):
    """When to measure again: days by chance 5, 50 and 95 %, or why no day is said."""

    earliest: date | None
    at: date | None
    latest: date | None
    why: NoDay | None
    words: str


@frozen
class Stretch:
    """A stretch of drying: when it began, epoch s or None, and its readings that are used."""

    start: int | None
    used: list[Reading]


def stretch(readings: Sequence[Reading], notes: Sequence[Note], now: int, mean: Mean) -> Stretch:
    """The stretch of now.

    Args:
        readings: counted ones, oldest first. notes: of the place and of the whole boat.
    """
    times = [each.at for each in readings]
    start = begun(notes, times, now, mean)
    kept = used(times, start)
    return Stretch(start, [each for each, keep in zip(readings, kept, strict=True) if keep])


def measure_again(
    here: Stretch, scale: Scale, reference: Reference | None, last: Reading | None, now: int
) -> MeasureAgainView:
    """When to measure a place again.

    Args:
        last: its last reading that says how wet it is, of this stretch or before.
    """
    if reference is None:
        words = "Measure three dry places of the boat with the same meter and mode first."
        return _none("no_reference", words)
    if reference.is_loose:
        words = "The dry places read too far apart: one of them may be wet. Read more of them."
        return _none("no_reference", words)
    if last is not None and last.value <= reference.figure:
        return _none("at_figure", "It reads at the figure: two such readings and a film decide.")
    readings = here.used
    if not readings or (last is not None and last.at > readings[-1].at):
        return _why(Dries(why="few_readings"), scale, reference)
    origin = readings[0].at if here.start is None else here.start
    points = Points.of(
        [(each.at - origin) / DAY for each in readings],
        [each.value for each in readings],
        [each.u(scale) for each in readings],
    )
    told = dries(points, reference.value, reference.u, reference.figure)
    if told.why is not None:
        return _why(told, scale, reference)
    earliest, at, latest = (
        None if day is None else moments.day_of(round(origin + day * DAY))
        for day in (told.earliest, told.at, told.latest)
    )
    most = moments.day_of(round(readings[0].at + AHEAD * points.span * DAY))
    words = _words((earliest, at, latest), most)
    if latest is not None and latest < moments.day_of(now):
        words = f"Its day was likely about {_face(at or latest)}: measure now."
    return MeasureAgainView(earliest, at, latest, None, words)


def _words(ends: Sequence[date | None], most: date) -> str:
    earliest, at, latest = (None if end is None else _face(end) for end in ends)
    if earliest is None:
        return f"Not before {_face(most)}, in 95 of 100; later days are too far ahead to say."
    if latest is not None:
        likely = f"likely about {at}"
        chance = "in 90 of 100 it comes to the figure in these days"
        return f"From {earliest} to {latest}, {likely}; {chance}."
    likely = "" if at is None else f", likely about {at}"
    return f"Not before {earliest}, in 95 of 100{likely}; its latest day is too far ahead to say."


def _face(day: date) -> str:
    return f"{day.day} {day:%b %Y}"


def _why(told: Dries, scale: Scale, reference: Reference) -> MeasureAgainView:
    if told.why == "levelling_off":
        level, figure = scale.say(told.settles or 0.0), scale.say(reference.figure)
        words = (f"It levels off at about {level}, over {figure}: something holds water. "
                 "Wash, open, heat.")  # fmt: skip
    elif told.why == "hardly_falls":
        words = "It fell by under three times its uncertainty: as it lies it hardly dries."
    elif told.why == "no_shape_fits":
        words = "It does not fall as a laminate dries: look for what wets it, and note it."
    else:
        words = (f"A forecast takes {LEAST_READINGS} counted readings over {LEAST_DAYS:.0f} days "
                 "since the last wash, opening, heat or rain.")  # fmt: skip
    return _none(told.why or "few_readings", words)


def _none(why: NoDay, words: str) -> MeasureAgainView:
    return MeasureAgainView(None, None, None, why, words)
