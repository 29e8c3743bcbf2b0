"""The gate of dryness: what passes, what is wet, and what is not known yet."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from cureyard_service.core.amounts.quantities import ZERO_C
from cureyard_service.core.gates.dry import Film, Place, Series, counting, dry
from cureyard_service.core.gates.judged import Judged
from cureyard_service.core.gates.profiles import profile
from cureyard_service.core.wetness.readings import Note, Reading, Reference, Scale
from cureyard_service.core.words import shown

H, DAY = 3600, 86_400
HARD, PLAIN = profile("class").rules["dry"], profile("plain").rules["dry"]
SCALE = Scale(0, 100)
REFERENCE = Reference(12, 1, 17, 3)
GOOD_FILM = Film(20 * DAY, 21 * DAY, drops=False)


def read(days: float, value: float) -> Reading:
    """A reading of three equal placements."""
    return Reading(round(days * DAY), [value] * 3, 15 + ZERO_C)


def place(*counted: Reading, film: Film | None = GOOD_FILM, **more: Any) -> Place:
    """A place with readings by one meter."""
    return Place("keel", [Series("CAP deep", SCALE, REFERENCE, counted)], film=film, **more)


def told(*places: Place) -> tuple[str, str]:
    """The verdict in a class yard, and the finding."""
    judged: Judged = dry(HARD, places)
    return judged.verdict, shown(judged.found, "metric")


TWICE = (read(10, 16), read(17, 15))


@pytest.mark.parametrize(
    ("given", "verdict", "word"),
    [
        (place(*TWICE), "pass", "Dry twice: keel"),
        (place(read(10, 17), read(17, 17)), "pass", ""),
        (place(read(10, 15), read(17, 17)), "pass", ""),
        (place(read(10, 14.9), read(17, 17)), "stop", "rose from 14.9 points to 17.0"),
        (place(read(10, 16), read(17, 17.1)), "stop", "reads 17.1 points, over 17.0"),
        (place(read(10, 17.1), read(17, 16)), "caution", "another 7 days"),
        (place(read(10, 16), read(16.9, 16)), "caution", "another 7 days"),
        (place(read(10, 16), read(12, 17.5), read(17, 16)), "caution", "another 7 days"),
        (place(read(10, 16)), "caution", "another 7 days"),
        (place(), "caution", "no counted reading"),
        (place(*TWICE, film=None), "caution", "no film"),
        (place(*TWICE, film=replace(GOOD_FILM, looked_at=21 * DAY - 1)), "caution", "24 h"),
        (place(*TWICE, film=replace(GOOD_FILM, drops=True)), "stop", "drops"),
    ],
)  # fmt: skip
def test_a_place(given: Place, verdict: str, word: str) -> None:
    """At each limit, and a little on either side of it."""
    found = told(given)
    assert found[0] == verdict
    assert word in found[1]


def test_two_days_are_enough_while_heat_is_on() -> None:
    """Heated throughout; else seven."""
    close = (read(10, 16), read(12, 15))
    assert told(place(*close))[0] == "caution"
    assert told(place(*close, notes=[Note("heat_on", 9 * DAY)]))[0] == "pass"
    off = [Note("heat_on", 9 * DAY), Note("heat_off", 11 * DAY)]
    assert told(place(*close, notes=off))[0] == "caution"


def test_a_dry_skin_does_not_hide_a_wet_core() -> None:
    """One mode over its figure is wet, however dry the other reads."""
    core = Series("CAP core", SCALE, REFERENCE, [read(17, 40)])
    both = replace(place(*TWICE), series=[*place(*TWICE).series, core])
    verdict, found = told(both)
    assert (verdict, "CAP core reads 40.0" in found) == ("stop", True)


def test_without_three_dry_places_nothing_is_known() -> None:
    """A number without a reference says nothing."""
    bare = Place("keel", [Series("CAP deep", SCALE, None, TWICE)], film=GOOD_FILM)
    verdict, found = told(bare)
    assert (verdict, "no reference" in found) == ("caution", True)


def test_every_place_must_be_dry() -> None:
    """One is wet: the gate stops; one is unknown: it cautions."""
    good, wet = place(*TWICE), replace(place(read(17, 30)), name="skeg")
    assert told(good, wet)[0] == "stop"
    assert told(good, replace(place(), name="skeg"))[0] == "caution"
    assert told(good, replace(good, name="skeg"))[0] == "pass"
    assert told()[0] == "caution"


def test_plain_practice_only_cautions() -> None:
    """In the plain profile a wet place is a caution; both say what reads wet without being wet."""
    judged = dry(PLAIN, [place(read(17, 30))])
    assert judged.verdict == "caution"
    assert "a dry skin hides a wet core" in shown(judged.change, "metric")


def test_the_limits_are_the_profiles() -> None:
    """24 h after water, 5 °C, 3 K; 5 % of the span; 7 and 2 days; film for 24 h."""
    for rule in (HARD, PLAIN):
        limits = counting(rule)
        assert (limits.after_water, limits.coldest, limits.above_dew) == (DAY, 278.15, 3)
        assert rule.limits["over_percent"] == 5
        kept = [rule.limits[name] for name in ("apart", "apart_heated", "film")]
        assert kept == [7 * DAY, 2 * DAY, DAY]
        for word in ("D4263, from memory", "IIMS", "at second hand", "no source"):
            assert word in rule.source


def test_what_reads_at_least_so_wet_is_wet() -> None:
    """The end of a scale, and ice: too dry a reading over the figure proves it all the same."""
    pegged, icy = read(18, 100), read(18, 58)
    for bound, word in ((pegged, "at least 100.0"), (icy, "at least 58.0")):
        series = Series("CAP deep", SCALE, REFERENCE, TWICE, [bound])
        verdict, found = told(replace(place(), series=[series]))
        assert (verdict, word in found) == ("stop", True), found
    under = Series("CAP deep", SCALE, REFERENCE, TWICE, [read(18, 5)])
    assert told(replace(place(), series=[under]))[0] == "pass"
    dried = Series("CAP deep", SCALE, REFERENCE, TWICE, [read(9, 58)])
    assert told(replace(place(), series=[dried]))[0] == "pass"


def test_the_end_of_a_scale_needs_no_reference() -> None:
    """Whatever dry places read, it is wetter."""
    series = Series("CAP deep", SCALE, None, (), [read(18, 100)])
    assert told(replace(place(), series=[series]))[0] == "stop"
    unlike = Series("CAP deep", SCALE, None, (), [read(18, 58)])
    assert told(replace(place(), series=[unlike]))[0] == "caution"


@pytest.mark.parametrize(
    ("note", "verdict", "word"),
    [
        (Note("opened", 9 * DAY), "pass", ""),
        (Note("opened", 12 * DAY), "caution", "another 7 days"),
        (Note("hauled_out", 18 * DAY), "caution", "no counted reading since it was hauled out"),
        (Note("rain", 12 * DAY), "pass", ""),
        (Note("rain", 18 * DAY), "caution", "rained on after the last reading"),
        (Note("rain", 22 * DAY), "caution", "rained on after the last reading"),
        (Note("washed", 18 * DAY), "caution", "washed after the last reading"),
        (Note("washed", 18 * DAY, "sheets"), "pass", ""),
        (Note("dust", 22 * DAY), "pass", ""),
    ],
)
def test_what_came_after_the_readings(note: Note, verdict: str, word: str) -> None:
    """An opening leaves another place; water asks for a reading and a film of after it."""
    told_now = told(place(*TWICE, notes=[note]))
    assert (told_now[0], word in told_now[1]) == (verdict, True), told_now


def test_film_of_before_the_water_shows_nothing() -> None:
    """Read again after the rain, but not taped on again."""
    rain = [Note("rain", 22 * DAY)]
    again = (*TWICE, read(24, 15))
    verdict, found = told(place(*again, notes=rain))
    assert (verdict, "after the film was taped on" in found) == ("caution", True)
    assert told(place(*again, notes=rain, film=Film(23 * DAY, 24 * DAY, drops=False)))[0] == "pass"


def test_each_mode_that_was_read_is_compared() -> None:
    """A mode without its dry places is named; one last read before the dry pair is of the past."""
    bare = Series("CAP shallow", SCALE, None, [read(17, 60)])
    both = replace(place(*TWICE), series=[*place(*TWICE).series, bare])
    verdict, found = told(both)
    assert (verdict, "CAP shallow has no counted reading" in found) == ("caution", True)
    past = Series("PIN deep", SCALE, REFERENCE, [read(2, 60)])
    assert told(replace(both, series=[*place(*TWICE).series, past]))[0] == "pass"


def test_dry_places_that_differ_too_much_are_no_reference() -> None:
    """Dry places of 5, 12 and 40 points: one is wet, or another meter read it."""
    loose = Series("CAP deep", SCALE, Reference(19, 10.7, 24, 3), TWICE)
    verdict, found = told(replace(place(), series=[loose]))
    assert (verdict, "too far apart" in found) == ("caution", True)


def test_a_weighed_sample_is_told() -> None:
    """18.42 g wet, 15.90 g dried: 15.85 %; what it means the surveyor says."""
    verdict, found = told(place(*TWICE, water_percent=15.85))
    assert ("held 15.8 % water" in found or "held 15.9 % water" in found) is True
    assert (verdict, "no figure for a sample" in found) == ("caution", True)


@pytest.mark.parametrize(
    ("places", "wanted", "left_out"),
    [
        ([place(*TWICE, film=None)], "'taped_at'", "'placements'"),
        ([place(*TWICE, film=replace(GOOD_FILM, looked_at=20 * DAY + 7 * H))], "'taped_at'",
         "'placements'"),
        ([place()], "'placements'", "'taped_at'"),
    ],
)  # fmt: skip
def test_what_is_missing_is_what_is_asked_for(
    places: list[Place], wanted: str, left_out: str
) -> None:
    """Of a place that lacks a film alone no reading is asked; of one never read, no film yet."""
    change = shown(dry(HARD, places).change, "metric")
    assert wanted in change
    assert left_out not in change
    both = shown(dry(HARD, [*places, place(film=None), place(*TWICE, film=None)]).change, "metric")
    assert "'placements'" in both
    assert "'taped_at'" in both


def test_drops_count_however_soon_they_come() -> None:
    """A film of 7 h with drops is wet; without them it says nothing."""
    short = Film(20 * DAY, 20 * DAY + 7 * H, drops=False)
    assert not short.counts(DAY)
    assert replace(short, drops=True).counts(DAY)
    assert told(place(*TWICE, film=replace(short, drops=True)))[0] == "stop"
