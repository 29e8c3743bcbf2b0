"""Photographs kept of a job, a layup and a lot, listed, and taken back."""

from __future__ import annotations

from typing import Any

import pytest
from cureyard_service.acts.cure.take_back import take_back_layup
from cureyard_service.acts.jobs import job, photographs
from cureyard_service.acts.jobs.photographs import KeptPhotographView, Thing
from cureyard_service.acts.stock import last_entry
from cureyard_service.acts.wetness import findings
from cureyard_service.acts.wetness.taken_back import take_back
from cureyard_service.acts.yard import finding
from cureyard_service.core import errors
from cureyard_service.store import tables
from cureyard_service.store.wetness import Finding
from cureyard_service.store.yard.hands import Hand

from .. import sample_yard as yard
from ..sample_yard import DAY, HAND, NOW

pytestmark = pytest.mark.usefixtures("books")

RUI = Hand("Rui", verified=True)


def kept(of: Thing, jpeg: bytes = b"one", **facts: Any) -> KeptPhotographView:
    """A photograph of something."""
    said: dict[str, Any] = {"shows": "a taper", "now": NOW, "hand": HAND} | facts
    return photographs.keep_photograph(of, jpeg=jpeg, width_px=4, height_px=3, **said)


def ids(of: Thing) -> list[int]:
    """Those that stand."""
    return [each.id for each in photographs.standing_photographs(of)]


def laid() -> Any:
    """A layup of a pot."""
    yard.stocked()
    return finding.layup(yard.laid(yard.pot().id).id)


def test_each_is_of_one_thing() -> None:
    """And a job shows its own and its layups', never another job's or a lot's."""
    layup = laid()
    here, other, lot = finding.job("D-7"), finding.job("S-1"), finding.lot(1)
    first, second = kept(here), kept(layup)
    third, fourth = kept(lot), kept(other)
    assert (first.job, first.layup, first.lot) == ("D-7", None, None)
    assert (second.job, second.layup, second.lot) == (None, layup.id, None)
    assert (third.job, third.layup, third.lot) == (None, None, 1)
    assert ids(here) == [first.id, second.id]
    assert (ids(layup), ids(lot), ids(other)) == ([second.id], [third.id], [fourth.id])
    listed = photographs.list_photographs(here, None, 9)
    assert [each.id for each in listed] == [second.id, first.id]
    assert [each.id for each in photographs.list_photographs(here, second.id, 9)] == [first.id]


def found(place: str = "keel") -> Finding:
    """A finding of the job."""
    made = findings.record_finding(
        finding.job("D-7"), place=place, side="port", kind="blister", length=12_000, width=8_000,
        found_by="by eye", now=NOW, hand=HAND,
    )  # fmt: skip
    return findings.of_job(finding.job("D-7"), made.id)


def test_of_a_finding_it_is_of_its_job_too() -> None:
    """The same picture of the finding is kept once; of the job itself it is another."""
    here, blister, crack = finding.job("D-7"), found(), found("topside")
    first, again, other = kept(blister), kept(blister), kept(crack)
    assert (first.job, first.finding, first.layup, first.lot) == ("D-7", blister.id, None, None)
    assert (again.id, again.kept_before) == (first.id, True)
    own = kept(here)
    assert (own.finding, own.kept_before) == (None, False)
    assert (ids(blister), ids(crack)) == ([first.id], [other.id])
    assert ids(here) == [first.id, other.id, own.id]
    photographs.take_back_photograph(
        finding.photograph(first.id), reason="a slip", now=NOW, hand=HAND
    )
    assert ids(blister) == []
    assert [each.id for each in photographs.list_photographs(blister, None, 9)] == [first.id]


def test_eight_of_a_finding() -> None:
    """A ninth is refused, till one is taken back; so is one of a finding that was taken back."""
    blister = found()
    made = [kept(blister, bytes([n])) for n in range(8)]
    assert kept(blister, bytes([7])).kept_before
    with pytest.raises(errors.Invalid, match="has 8 photographs already"):
        kept(blister, b"ninth")
    photographs.take_back_photograph(
        finding.photograph(made[0].id), reason="blurred", now=NOW, hand=HAND
    )
    assert not kept(blister, b"ninth").kept_before
    crack = found("topside")
    take_back("finding", finding.job("D-7"), crack.id, reason="a slip", now=NOW, hand=HAND)
    with pytest.raises(errors.Invalid, match="was taken back"):
        kept(crack)
    with pytest.raises(errors.NotFound, match="Job S-1 has no finding"):
        findings.of_job(finding.job("S-1"), blister.id)


def test_the_same_of_the_same_thing_is_kept_once() -> None:
    """Of another thing it is another; one that was taken back may be kept again."""
    here, other = finding.job("D-7"), finding.job("S-1")
    first, again, elsewhere = kept(here), kept(here, shows="else", hand=RUI), kept(other)
    assert (first.kept_before, again.kept_before, elsewhere.kept_before) == (False, True, False)
    assert (again.id, again.shows, again.who) == (first.id, "a taper", "Ines")
    assert tables.Photograph.select().count() == 2
    row = finding.photograph(first.id)
    photographs.take_back_photograph(row, reason="a slip", now=NOW, hand=HAND)
    new = kept(here)
    assert (new.kept_before, ids(here)) == (False, [new.id])


def test_what_was_taken_back_stays_on_record_and_is_not_shown() -> None:
    """Its bytes too; the list says who took it back and why."""
    here = finding.job("D-7")
    row = finding.photograph(kept(here, b"the picture").id)
    assert photographs.image_of(row) == b"the picture"
    photographs.take_back_photograph(row, reason="another boat", now=NOW + 9, hand=HAND)
    with pytest.raises(errors.NotFound, match="taken back"):
        photographs.image_of(row)
    (listed,) = photographs.list_photographs(here, None, 9)
    assert listed.withdrawn is not None
    assert (listed.withdrawn.who, listed.withdrawn.reason) == ("Ines", "another boat")
    assert ids(here) == []
    (there,) = tables.Photograph.select()
    assert there.jpeg == b"the picture"
    with pytest.raises(errors.AlreadyExists):
        photographs.take_back_photograph(row, reason="again", now=NOW + 9, hand=HAND)


def test_a_hand_takes_back_its_own_of_a_day() -> None:
    """A lead anybody's, at any time."""
    here = finding.job("D-7")
    own = finding.photograph(kept(here, hand=RUI).id)
    others = finding.photograph(kept(here, b"two", hand=Hand("Ada", verified=True)).id)
    with pytest.raises(errors.NotAllowed):
        photographs.take_back_photograph(others, reason="x", now=NOW, hand=RUI)
    with pytest.raises(errors.NotAllowed):
        photographs.take_back_photograph(own, reason="x", now=NOW + DAY + 1, hand=RUI)
    photographs.take_back_photograph(own, reason="x", now=NOW + DAY, hand=RUI)
    lead = Hand("Eva", verified=True, role="lead")
    photographs.take_back_photograph(others, reason="x", now=NOW + 9 * DAY, hand=lead)
    assert ids(here) == []


def test_it_is_the_last_entry_until_it_is_taken_back() -> None:
    """Of a layup laid in the same second too: it builds on that."""
    layup = laid()
    row = finding.photograph(kept(layup).id)
    found: Any = last_entry.last_entry(HAND).entry
    assert (found.kind, found.photograph, found.shows) == ("photograph", row.id, "a taper")
    photographs.take_back_photograph(row, reason="x", now=NOW, hand=HAND)
    again: Any = last_entry.last_entry(HAND).entry
    assert again.kind == "layup"


def test_of_a_closed_job_and_not_of_a_layup_that_was_not_laid() -> None:
    """The part as it left is worth a photograph; what was never there has none.

    Those of a layup that was taken back leave the job's record with it.
    """
    layup = laid()
    kept(layup)
    take_back_layup(layup, reason="another job", now=NOW, hand=HAND)
    with pytest.raises(errors.Invalid, match="not laid"):
        kept(finding.layup(layup.id), b"two")
    assert ids(finding.job("D-7")) == []
    job.change_job(finding.job("D-7"), state="closed", now=NOW, hand=HAND)
    assert kept(finding.job("D-7")).job == "D-7"


def test_the_store_holds_each_to_one_thing(books: Any) -> None:
    """Of nothing or of two things there is none; nor one of another size than it says."""
    row = {"shows": "x", "width_px": 1, "height_px": 1, "sha256": "0" * 64, "jpeg": b"abc",
           "recorded_at": NOW, "who": "Ines", "verified": False}  # fmt: skip
    for wrong in ({}, {"job": 1, "lot": 1}, {"job": 1, "size_bytes": 4}):
        with pytest.raises(Exception, match=r"(?i)check|constraint"), books.atomic():
            tables.Photograph.create(**({"size_bytes": 3} | row | wrong))
