"""What to mind of a new record: a place that may be another's name, and an entry made twice."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from cureyard_service.acts.cure import leak_tests
from cureyard_service.acts.wetness import findings, meters, moisture, samples, surface
from cureyard_service.acts.wetness.taken_back import take_back
from cureyard_service.acts.wetness.wetness import show_wetness
from cureyard_service.acts.yard import finding
from cureyard_service.core import errors
from cureyard_service.core.words import shown

from .. import sample_yard as yard
from ..sample_yard import DAY, HAND, MIN, NOW, H

pytestmark = pytest.mark.usefixtures("books", "meter")


@pytest.fixture
def meter(books: Any) -> None:
    """A capacitance meter."""
    meters.add_meter(
        code="CAP", title="Meter", kind="capacitance", scale_from=0, scale_to=100,
        modes=[{"name": "deep", "measures": "points"}], now=NOW - 60 * DAY, hand=HAND,
    )  # fmt: skip


def read(place: str = "keel, frame 4", now: int = NOW, *values: float, **more: Any) -> Any:
    """A moisture reading of that moment."""
    return moisture.read_moisture(
        finding.job("D-7"), place=place, meter="CAP", mode="deep",
        placements=values or (37, 38, 37), surface_temperature=yard.heat("15 degC"),
        now=now, hand=HAND, **more,
    )  # fmt: skip


def found(place: str, now: int = NOW) -> Any:
    """A finding."""
    return findings.record_finding(
        finding.job("D-7"), place=place, side="port", kind="blister", length=9_000, width=8_000,
        found_by="by eye", now=now, hand=HAND,
    )  # fmt: skip


def noted(place: str | None, now: int = NOW) -> Any:
    """A surface note."""
    job = finding.job("D-7")
    return surface.note_surface(job, kind="dust", place=place, now=now, hand=HAND)


def filmed(place: str, now: int = NOW) -> Any:
    """A film of a day."""
    job = finding.job("D-7")
    return samples.record_film(
        job, place=place, taped_at=NOW - 2 * DAY, drops=False, now=now, hand=HAND
    )


def weighed(place: str, now: int = NOW) -> Any:
    """A sample."""
    job = finding.job("D-7")
    return samples.record_sample(job, place=place, wet=2_000, dried=1_900, now=now, hand=HAND)


def leaked(place: str, now: int = NOW) -> Any:
    """A leak test that ends now."""
    return leak_tests.record_leak_test(
        finding.job("D-7"), place=place, first=88_000, first_at=now - 10 * MIN, second=87_900,
        now=now, hand=HAND,
    )  # fmt: skip


EACH = [read, found, noted, filmed, weighed, leaked]
each_noun = pytest.mark.parametrize("enter", EACH)


def words(record: Any) -> list[str]:
    """Its warnings as they are shown."""
    return [shown(each, "metric") for each in record.warnings]


@each_noun
def test_a_place_that_is_nearly_a_known_one_is_asked_about(enter: Callable[..., Any]) -> None:
    """Once; frame 5 is another place, and case and the name itself make no new one."""
    found("keel, frame 4", NOW - DAY)
    assert words(enter("Keel, Frame 4", NOW)) == []
    assert words(enter("keel, frame 5", NOW)) == []
    assert words(enter("keel frame 4", NOW)) == [
        "This is a new place of the job. Did you mean keel, frame 4?"
    ]
    assert not any("new place" in each for each in words(enter("keel frame 4", NOW + H)))


def test_a_place_taken_back_is_not_proposed() -> None:
    """Nor one of another job."""
    wrong = found("keel, frame 4")
    take_back("finding", finding.job("D-7"), wrong.id, reason="a slip", now=NOW, hand=HAND)
    assert words(found("keel frame 4")) == []


@each_noun
def test_the_same_twice_within_minutes_is_said(enter: Callable[..., Any]) -> None:
    """It names the twin; after an hour it is another look."""
    first = enter("stem", NOW)
    (said,) = words(enter("Stem", NOW + 3 * MIN))
    assert f" {first.id}, entered 3 min ago, says the same" in said
    assert words(enter("stem", NOW + 2 * H)) == []


def test_what_differs_is_no_twin() -> None:
    """Another number, place or kind; the whole boat is not a place of it."""
    read("stem", NOW)
    assert words(read("stem", NOW + MIN, 37, 38, 38)) == []
    noted(None, NOW)
    assert words(noted("stem", NOW + MIN)) == []
    assert "says the same" in words(noted(None, NOW + MIN))[0]
    twin = read("stem", NOW + 2 * MIN)
    take_back("moisture_reading", finding.job("D-7"), twin.id, reason="x", now=NOW, hand=HAND)


def test_placements_that_differ_much_are_asked_about() -> None:
    """Over a fifth of the scale: common practice, no source."""
    (said,) = words(read("stem", NOW, 5, 54, 99))
    assert "94 points apart" in said
    assert words(read("skeg", NOW, 30, 40, 50)) == []


def test_why_dry_places_do_not_count_is_said() -> None:
    """A late haul-out note: all three were read too soon after the water."""
    for place, value in (("a", 11), ("b", 12), ("c", 13)):
        read(place, NOW, value, value, value, dry_place=True)
    (reference,) = show_wetness(finding.job("D-7"), NOW).references
    assert (reference.places, reference.uncounted) == (3, [])
    surface.note_surface(finding.job("D-7"), kind="hauled_out", at=NOW - H, now=NOW + 1, hand=HAND)
    (reference,) = show_wetness(finding.job("D-7"), NOW + 1).references
    assert (reference.places, reference.uncounted) == (0, ["after_water"])


def test_a_record_of_another_job_is_named_with_its_job() -> None:
    """The numbers are the yard's: who names the wrong job is told the right one."""
    mine, leak = found("stem").id, leaked("stem").id
    other = finding.job("S-1")
    by: dict[str, Any] = {"reason": "x", "now": NOW, "hand": HAND}
    with pytest.raises(errors.NotFound) as one:
        take_back("finding", other, mine, **by)
    with pytest.raises(errors.NotFound) as two:
        leak_tests.take_back_leak_test(other, leak, **by)
    for each in (one, two):
        assert "Job D-7 has it" in shown(each.value.advice, "metric")
    with pytest.raises(errors.NotFound, match="There is no finding 99"):
        take_back("finding", other, 99, **by)


def test_what_a_place_reads_comes_first() -> None:
    """Against its figure; what wet it since; and that a dry place was read as one."""
    for place, value in (("a", 11), ("b", 12), ("c", 13)):
        read(place, NOW, value, value, value, dry_place=True)
    found("a")
    read("keel", NOW, 37, 37, 37)
    read("transom", NOW, 16, 16, 16)
    surface.note_surface(finding.job("D-7"), kind="rain", place="transom", now=NOW + 9, hand=HAND)
    dry_one, keel, transom = show_wetness(finding.job("D-7"), NOW + 9).places
    assert (dry_one.place, dry_one.dry_place, dry_one.series) == ("a", True, [])
    assert keel.series[0].reads == "It reads 37.0 points, over 17.0 points."
    assert keel.series[0].since_read is None
    assert transom.series[0].reads == "It reads 16.0 points, at or under 17.0 points."
    assert transom.series[0].since_read == "Since then it was rained on."


def test_an_unopened_finding_is_open_until_its_place_is_opened() -> None:
    """By a note of that place, or by a finding there with its depth."""
    job = finding.job("D-7")
    blister, other = found("stem", NOW - DAY), found("skeg", NOW - DAY)
    surface.note_surface(job, kind="opened", place="skeg", at=NOW - 2 * DAY, now=NOW, hand=HAND)
    assert [each.id for each in findings.unopened(job, NOW)] == [blister.id, other.id]
    surface.note_surface(job, kind="opened", place="SKEG", at=NOW - H, now=NOW, hand=HAND)
    assert [each.id for each in findings.unopened(job, NOW)] == [blister.id]
    findings.record_finding(
        job, place="stem", side="port", kind="blister", length=9_000, width=9_000, depth=3_000,
        found_by="opened", now=NOW, hand=HAND,
    )  # fmt: skip
    assert findings.unopened(job, NOW) == []
