"""What a moisture reading says, and why one does not count."""

from __future__ import annotations

from dataclasses import replace

import pytest
from cureyard_service.core.amounts.quantities import ZERO_C
from cureyard_service.core.wetness.readings import (
    Counting,
    Note,
    NoteKind,
    Reading,
    Scale,
    reference,
    uncertainty,
    uncounted,
    water_percent,
)
from cureyard_service.core.words import shown

H = 3600
HUNDRED = Scale(0, 100)
LIMITS = Counting(after_water=24 * H, coldest=5 + ZERO_C, above_dew=3)
GOOD = Reading(100 * H, [30, 31, 32], 15 + ZERO_C, 8 + ZERO_C)


@pytest.mark.parametrize(
    ("reading", "notes", "why"),
    [
        (GOOD, [], []),
        (replace(GOOD, dew=None), [], []),
        (replace(GOOD, placements=[99, 100, 98]), [], ["scale_end"]),
        (replace(GOOD, placements=[99, 99.9, 98]), [], []),
        (replace(GOOD, surface=4.9 + ZERO_C, dew=None), [], ["cold"]),
        (replace(GOOD, surface=5 + ZERO_C, dew=None), [], []),
        (replace(GOOD, surface=10.9 + ZERO_C), [], ["near_dew_point"]),
        (replace(GOOD, surface=11.01 + ZERO_C), [], []),
        (GOOD, [Note("rain", 77 * H)], ["after_water"]),
        (GOOD, [Note("rain", 76 * H)], []),
        (GOOD, [Note("rain", 101 * H)], []),
        (replace(GOOD, surface=4 + ZERO_C), [Note("washed", 99 * H)],
         ["cold", "near_dew_point", "after_water"]),
    ],
)  # fmt: skip
def test_why_a_reading_does_not_count(reading: Reading, notes: list[Note], why: list[str]) -> None:
    """At each limit, and a little on either side of it."""
    found = uncounted(reading, HUNDRED, notes, LIMITS)
    assert [word for word, _ in found] == why
    assert all(shown(words, "metric").endswith(".") for _, words in found)


@pytest.mark.parametrize("kind", ["hauled_out", "washed", "rain"])
@pytest.mark.parametrize("other", ["opened", "touched", "heat_on", "dust"])
def test_water_alone_spoils_a_day(kind: NoteKind, other: NoteKind) -> None:
    """Haul-out, wash and rain; nothing else."""
    assert uncounted(GOOD, HUNDRED, [Note(kind, 99 * H)], LIMITS)
    assert not uncounted(GOOD, HUNDRED, [Note(other, 99 * H)], LIMITS)


@pytest.mark.parametrize(
    ("placements", "u"), [([30, 30, 30], 1.0), ([27, 30, 33], 1.7321), ([28, 30, 32], 1.1547)]
)
def test_the_uncertainty_of_a_reading(placements: list[float], u: float) -> None:
    """The larger of 1 % of the span and s/√n (JCGM 100:2008, 4.2.3): 3/√3, 2/√3."""
    assert uncertainty(placements, HUNDRED) == pytest.approx(u, abs=5e-5)
    assert uncertainty(placements, Scale(0, 1000)) == 10


def test_a_reference_takes_three_dry_places() -> None:
    """11, 12 and 13 are 12 ± 1 on a scale of 100; the figure is 5 % of the span over it."""
    assert reference([11, 12], HUNDRED, 5) is None
    told = reference([11, 12, 13], HUNDRED, 5)
    assert told is not None
    assert (told.value, told.u, told.figure, told.places) == (12, 1, 17, 3)


def test_points_are_never_called_percent() -> None:
    """Percent is of pins in wood, or of a weighed sample."""
    assert HUNDRED.say(58) == "58.0 points"
    assert HUNDRED.say(100) == "at least 100.0 points"
    assert Scale(6, 40, "percent").say(14.24) == "14.2 %"


def test_a_weighed_sample() -> None:
    """18.42 g wet and 15.90 g dried: 15.85 % of its dried mass."""
    assert water_percent(18.42, 15.90) == pytest.approx(15.85, abs=0.005)


def test_a_face_below_its_dew_point_is_said_so() -> None:
    """5 K below it, not 0 K over it."""
    ((_, below),) = uncounted(
        replace(GOOD, surface=6 + ZERO_C, dew=11 + ZERO_C), HUNDRED, [], LIMITS
    )
    assert "5.0 K below the dew point" in shown(below, "metric")
    ((_, over),) = uncounted(replace(GOOD, surface=10 + ZERO_C), HUNDRED, [], LIMITS)
    assert "2.0 K over the dew point" in shown(over, "metric")
