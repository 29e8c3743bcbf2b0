"""What is known of a job's places: which readings, film, bay and air count."""

from __future__ import annotations

from typing import Any

import pytest
from cureyard_service.acts.bays import readings as read_bay
from cureyard_service.acts.wetness import findings, meters, moisture, places, samples, surface
from cureyard_service.acts.wetness.again import measure_again, stretch
from cureyard_service.acts.wetness.taken_back import take_back
from cureyard_service.acts.yard import finding, moments
from cureyard_service.core import errors
from cureyard_service.core.bays.dew_point import dew_point
from cureyard_service.core.wetness.drying import Points, dries
from cureyard_service.core.wetness.readings import Note, Reading, Reference, Scale

from .. import sample_yard as yard
from ..sample_yard import DAY, HAND, NOW, H

pytestmark = pytest.mark.usefixtures("books", "meter")

SCALE = Scale(0, 100)
REFERENCE = Reference(12, 1, 17, 3)


@pytest.fixture
def meter(books: Any) -> None:
    """A capacitance meter of two modes."""
    modes = [{"name": name, "measures": "points"} for name in ("deep", "shallow")]
    meters.add_meter(
        code="CAP", title="Capacitance meter", kind="capacitance", scale_from=0, scale_to=100,
        modes=modes, now=NOW - 60 * DAY, hand=HAND,
    )  # fmt: skip


def read(value: float, ago: float = 1, **more: Any) -> Any:
    """A reading of some days ago."""
    asked = {"place": "Keel", "mode": "deep", "bay": "SHED"} | more
    return moisture.read_moisture(
        finding.job("D-7"), meter="CAP", placements=[value] * 3,
        surface_temperature=yard.heat("15 degC"), at=round(NOW - ago * DAY), now=NOW,
        hand=HAND, **asked,
    )  # fmt: skip


def place() -> places.Place:
    """The job's one place."""
    (only,) = places.of_job(finding.job("D-7"), NOW).places.values()
    return only


def log(celsius: float, humidity: float, ago: float) -> None:
    """A reading of the shed's air, some days ago."""
    air = {"at": round(NOW - ago * DAY), "temperature": yard.heat(f"{celsius} degC"),
           "humidity_percent": humidity}  # fmt: skip
    read_bay.read_bay(bay="SHED", readings=[air], now=NOW, hand=HAND)


def test_the_last_film_of_a_place_counts() -> None:
    """Drops, and a day later none; or the other way round."""
    for ago, drops in ((4, True), (2, False)):
        samples.record_film(
            finding.job("D-7"), place="Keel", drops=drops, now=NOW, hand=HAND,
            taped_at=round(NOW - (ago + 1) * DAY), looked_at=round(NOW - ago * DAY),
        )  # fmt: skip
    film = place().film
    assert film is not None
    assert not film.drops


def film(ago: float, hours: float, drops: bool) -> Any:
    """A film that was looked at some days ago, after some hours."""
    return samples.record_film(
        finding.job("D-7"), place="Keel", drops=drops, now=NOW, hand=HAND,
        taped_at=round(NOW - ago * DAY - hours * H), looked_at=round(NOW - ago * DAY),
    )  # fmt: skip


def test_a_short_film_does_not_count_nor_outrank_one_that_does() -> None:
    """7 h without drops after a good day; but drops under a short film are wet."""
    good = film(3, 25, drops=False)
    assert (good.counted, good.uncounted) == (True, None)
    short = film(2, 7, drops=False)
    assert not short.counted
    assert "on for 7 h: under 24 h" in short.uncounted
    assert place().film.id == good.id  # type: ignore[union-attr]
    wet = film(1, 7, drops=True)
    assert wet.counted
    film(0.5, 7, drops=False)
    assert place().film.id == wet.id  # type: ignore[union-attr]


def test_where_no_film_counts_the_last_is_shown() -> None:
    """So that the gate can say that it was on for too short a time."""
    film(2, 7, drops=False)
    last = film(1, 8, drops=False)
    assert place().film.id == last.id  # type: ignore[union-attr]


def test_the_air_that_a_hand_told_comes_before_the_bays() -> None:
    """The face may be elsewhere than the logger."""
    log(20, 60, 1)
    of_bay = read(30)
    told = read(30, air=yard.heat("10 degC"), humidity_percent=50)
    assert of_bay.dew_point == pytest.approx(dew_point(293.15, 60))
    assert told.dew_point == pytest.approx(dew_point(283.15, 50))


def test_what_reads_at_least_so_wet_is_kept_apart() -> None:
    """At the end of the scale it does not count, and is known all the same."""
    read(40, ago=2)
    read(100)
    (series,) = place().series.values()
    assert [each.reading.value for each in series.counted] == [40]
    assert [each.value for each in series.at_least] == [100]


def test_a_record_of_another_job_is_not_taken_back() -> None:
    """Its number alone is not enough; nor is it taken back twice."""
    told = read(30)
    with pytest.raises(errors.NotFound):
        take_back("moisture_reading", finding.job("S-1"), told.id, reason="x", now=NOW, hand=HAND)
    take_back("moisture_reading", finding.job("D-7"), told.id, reason="x", now=NOW, hand=HAND)
    with pytest.raises(errors.AlreadyExists):
        take_back("moisture_reading", finding.job("D-7"), told.id, reason="x", now=NOW, hand=HAND)
    assert places.of_job(finding.job("D-7"), NOW).places == {}


def test_a_place_is_named_once_in_any_case() -> None:
    """Found, read and noted."""
    findings.record_finding(
        finding.job("D-7"), place="KEEL", side="port", kind="blister", length=10_000,
        width=10_000, found_by="tapped", now=NOW, hand=HAND,
    )  # fmt: skip
    read(30)
    surface.note_surface(
        finding.job("D-7"), kind="rain", place="keel", at=NOW - H, now=NOW, hand=HAND
    )
    assert [note.kind for note in place().notes] == ["rain"]


def again(*readings: tuple[float, float], notes: tuple[Note, ...] = (), now: float = 40) -> Any:
    """When to measure again, of readings by day; `now` is a day, too."""
    rows = [Reading(round(day * DAY), [value] * 3, 288.15) for day, value in readings]
    here = stretch(rows, notes, round(now * DAY), lambda _since, _until: None)
    return measure_again(here, SCALE, REFERENCE, rows[-1], round(now * DAY))


MADE = ((0, 58), (7, 46), (14, 39.5), (21, 34), (28, 30), (35, 26.5))


def test_at_the_figure_no_day_is_said() -> None:
    """17 is at it, 17.1 is over it."""
    assert again(*MADE, (40, 17)).why == "at_figure"
    assert again(*MADE, (40, 17.1)).why != "at_figure"


def test_a_stretch_counts_its_days_from_its_own_beginning() -> None:
    """Washed on day 4: readings before day 7 are left out, and the days run from the wash."""
    told = again(*MADE, notes=(Note("washed", 4 * DAY),))
    used = MADE[1:]
    points = Points.of([day - 4 for day, _value in used], [value for _day, value in used], [1] * 5)
    days = dries(points, REFERENCE.value, REFERENCE.u, REFERENCE.figure)
    assert days.earliest is not None
    assert told.earliest == moments.day_of(round((4 + days.earliest) * DAY))


def test_a_window_that_is_past_is_told_as_past() -> None:
    """Nobody waits for a day that has been."""
    assert "measure now" in again(*MADE, now=400).words
    assert "measure now" not in again(*MADE).words
