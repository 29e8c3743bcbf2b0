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
