"""The places of a job as the gate of dryness and the forecasts see them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from ...core.frozen import frozen
from ...core.gates import dry
from ...core.wetness.readings import (
    AT_LEAST,
    Note,
    Reading,
    Reference,
    Scale,
    Uncounted,
    reference,
    water_percent,
)
from ...core.wetness.stretches import Mean, mean_of
from ...store import wetness
from ...store.lookup import key_of
from ...store.stock.jobs import Job
from ...store.wetness import FILMS, FINDINGS, READINGS, SAMPLES, FilmTest
from . import limits, moisture, samples, surface
from .moisture import Judged

LOOKED_BACK_S = 400 * 86_400
"""How far back a bay's log is read."""


@frozen
class By:
    """A meter in one of its modes."""

    meter: str
    mode: str

    @property
    def name(self) -> str:
        """Both in words."""
        return f"{self.meter} {self.mode}"


@dataclass
class Series:
    """The readings of a place by one meter in one mode, oldest first.

    Attributes:
        counted: that count. at_least: that don't, but where the place is at least as wet.
    """

    by: By
    scale: Scale
    counted: list[Judged] = field(default_factory=list)
    at_least: list[Reading] = field(default_factory=list)

    @property
    def readings(self) -> list[Reading]:
        """Their readings."""
        return [each.reading for each in self.counted]


@dataclass
class Place:
    """A place of the job that is to be dry; `read_dry`, if it was read as a dry place too."""

    name: str
    notes: list[Note]
    series: dict[By, Series] = field(default_factory=dict)
    film: FilmTest | None = None
    read_dry: bool = False
    water_percent: float | None = None


@frozen
class Places:
    """What is known of a job's wetness.

    Attributes:
        places: key of its name → the place. scales: of each meter and mode that was used.
        dry_places: the last counted reading of each dry place, by meter and mode.
        not_dry: why readings of dry places that have none don't count, by meter and mode.
    """

    places: dict[str, Place]
    scales: dict[By, Scale]
    dry_places: dict[By, list[float]]
    not_dry: dict[By, set[Uncounted]]
    over_percent: float

    def reference(self, by: By) -> Reference | None:
        """What dry places of the boat read, or None under three of them."""
        return reference(self.dry_places.get(by, []), self.scales[by], self.over_percent)

    def for_gate(self) -> list[dry.Place]:
        """The places as the gate judges them."""
        return [
            dry.Place(
                place.name,
                [
                    dry.Series(by.name, one.scale, self.reference(by), one.readings, one.at_least)
                    for by, one in place.series.items()
                ],
                place.notes,
                _film(place.film),
                place.water_percent,
            )
            for place in self.places.values()
        ]


def of_job(job: Job, now: int) -> Places:
    """What is known of a job's wetness at a moment."""
    notes = surface.standing_notes(job, now)
    readings = moisture.standing_readings(job, now, notes)
    needed = samples.film_needed()
    places: dict[str, Place] = {}

    def place(name: str) -> Place:
        return places.setdefault(key_of(name), Place(name, surface.notes_of(notes, name)))

    for found in wetness.standing(FINDINGS, job.id):
        if found.at <= now:
            place(found.place)
    dry_places: dict[By, dict[str, float]] = {}
    uncounted: dict[By, dict[str, set[Uncounted]]] = {}
    scales: dict[By, Scale] = {}
    for each in readings:
        by = By(each.row.meter.code, each.row.mode)
        scales[by] = each.scale
        if each.row.dry_place:
            if not each.why:
                dry_places.setdefault(by, {})[each.row.place_key] = each.reading.value
            uncounted.setdefault(by, {})[each.row.place_key] = {why for why, _ in each.why}
            continue
        series = place(each.row.place).series.setdefault(by, Series(by, each.scale))
        if not each.why:
            series.counted.append(each)
        elif AT_LEAST.issuperset(why for why, _words in each.why):
            series.at_least.append(each.reading)
    for row in sorted(wetness.standing(SAMPLES, job.id), key=lambda row: (row.at, row.id)):
        if row.at <= now:
            place(row.place).water_percent = water_percent(row.wet_mg, row.dried_mg)
    for film in _films(job, now):
        there = place(film.place)
        if (
            there.film is None
            or samples.counts(film, needed)
            or not samples.counts(there.film, needed)
        ):
            there.film = film
    for key in (key for of in uncounted.values() for key in of if key in places):
        places[key].read_dry = True
    spread = {by: list(values.values()) for by, values in dry_places.items()}
    not_dry = {
        by: {why for key, whys in of.items() if key not in dry_places.get(by, {}) for why in whys}
        for by, of in uncounted.items()
    }
    return Places(places, scales, spread, not_dry, limits.rule().limits["over_percent"])


def names(job: Job, now: int) -> list[str]:
    """The places of a job that were found or measured, dry ones too, in the yard's words."""
    found = {key_of(place.name): place.name for place in of_job(job, now).places.values()}
    for row in wetness.standing(READINGS, job.id):
        if row.at <= now:
            found.setdefault(row.place_key, row.place)
    return list(found.values())


def _films(job: Job, now: int) -> list[FilmTest]:
    """Films by when they were looked at."""
    rows = [row for row in wetness.standing(FILMS, job.id) if row.looked_at <= now]
    return sorted(rows, key=lambda row: (row.looked_at, row.id))


def _film(row: FilmTest | None) -> dry.Film | None:
    return None if row is None else samples.film_of(row)


class Means:
    """The means of the bays where a job's places were read, by their logs."""

    def __init__(self, known: Places, now: int) -> None:
        counted = [
            each
            for place in known.places.values()
            for one in place.series.values()
            for each in one.counted
        ]
        bays = {each.row.bay.id for each in counted if each.row.bay is not None}
        first = min((each.row.at for each in counted), default=now)
        self._hours = wetness.hourly_air(bays, max(first, now - LOOKED_BACK_S), now)

    def of(self, counted: Sequence[Judged]) -> Mean:
        """The mean of the bay where a place was read last; nothing is known without a bay."""
        bay = counted[-1].row.bay if counted else None
        return mean_of([] if bay is None else self._hours[bay.id])
