"""Signing a job: what is refused, what is kept, and that nothing is written to it afterwards."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from cureyard_service.acts.cure import gates, watch
from cureyard_service.acts.cure.observe import observe_layup
from cureyard_service.acts.jobs import need, sign, usage
from cureyard_service.acts.jobs.job import JobView, change_job
from cureyard_service.acts.wetness import findings, surface
from cureyard_service.acts.yard import finding, settings, tokens
from cureyard_service.core import errors
from cureyard_service.core.words import shown
from cureyard_service.store.yard import heads, logbook
from cureyard_service.store.yard.hands import Hand
from peewee import Database

from ... import makers
from .. import sample_yard as yard
from ..sample_yard import DAY, HAND, NOW, q

pytestmark = pytest.mark.usefixtures("books")

LEAD = Hand("Ada", verified=True, role="lead")
RUI = Hand("Rui", verified=True)
WEEK = NOW - 7 * DAY


def laid(job: str = "D-7", at: int = WEEK, **facts: Any) -> int:
    """A layup of a week ago, hard by its clock."""
    asked = {"product": "LAM", "catalyst_percent": Decimal(2)} | facts
    return int(yard.laid(job=job, now=at, **asked).id)


def seen(layup: int, kind: str, now: int = NOW, **facts: Any) -> None:
    """An observation."""
    observe_layup(finding.layup(layup), kind=kind, now=now, hand=HAND, **facts)


def open_now(job: str = "D-7") -> list[str]:
    """What is open of a job."""
    return [each.item for each in sign.show_signing(finding.job(job), NOW).open]


def signed(job: str = "D-7", hand: Hand = LEAD, now: int = NOW, **left: str) -> JobView:
    """The job, signed; `left` by item, its kind and id parted by two underscores."""
    named = [{"item": k.replace("__", ":"), "reason": v} for k, v in left.items()]
    return sign.sign(finding.job(job), left=named, now=now, hand=hand)


def settled(job: str = "D-7") -> None:
    """Each open gate of the job set aside."""
    for item in open_now(job):
        kind, _, gate = item.partition(":")
        if kind == "gate":
            gates.override_gate(finding.job(job), gate=gate, reason="seen to", now=NOW, hand=LEAD)


def test_a_job_of_which_nothing_is_open() -> None:
    """It is closed; name, authority, profile and moment are kept; it says what it is not."""
    assert open_now() == []
    before = heads.head()
    told = signed()
    assert (told.state, told.closed_at, told.close_reason) == ("closed", NOW, "signed")
    assert told.signature is not None
    kept = told.signature
    assert (kept.who, kept.verified, kept.at, kept.profile) == ("Ada", True, NOW, "plain")
    assert (kept.authority, kept.left_open, kept.voided) == (None, [], None)
    assert kept.head == before != heads.head()
    assert "no certificate" in kept.says
    assert [each.kind for each in logbook.entries(None, 9)] == ["job signed"]


def test_the_authority_is_the_jobs_as_it_was_then() -> None:
    """A structural job: whose rules it went by."""
    settled("S-1")
    told = signed("S-1")
    assert told.signature is not None
    assert told.signature.authority == "the surveyor"


def refused(books: Database, job: str = "D-7", **left: str) -> list[str]:
    """What is open and was not named; nothing is written."""
    before = yard.contents(books)
    with pytest.raises(errors.StillOpen) as found:
        signed(job, **left)
    assert yard.contents(books) == before
    told = shown(found.value.detail, "metric")
    items = [each["item"] for each in found.value.fields["open"]]
    assert told.endswith(f"{', '.join(items)}.")
    return items


def test_a_need_is_open_until_it_is_drawn(books: Database) -> None:
    """Each with the amount that is left; named with a reason it stays, and is on record."""
    job = finding.job("D-7")
    told = need.add_needs(
        job, wanted=[{"product": "MICROS", "quantity": q("3 kg")}], now=NOW, hand=HAND
    )
    item = f"need:{told.needs[0].id}"
    assert refused(books) == [item]
    done = signed(**{item.replace(":", "__"): "bought for the next boat"})
    assert done.signature is not None
    (left,) = done.signature.left_open
    assert (left.item, left.reason) == (item, "bought for the next boat")
    assert "3 kg of MICROS" in shown(left.found, "metric")
    assert "lb of MICROS" in shown(left.found, "us")
    (row,) = yard.overrides()
    assert (row.slug, row.job.number) == ("still-open", "D-7")
    assert "left open" in [each.kind for each in logbook.entries(None, 9)]
    assert need.show_needs(finding.job("D-7"), NOW).needs == []


def test_a_layup_answers_for_itself(books: Database) -> None:
    """Soft by its clock it is open; so are the gates of the part; a nail and a lead settle them."""
    layup = laid(at=NOW - 3600)
    assert refused(books) == [
        "gate:sound-below", "gate:cure-time", "gate:hard-enough", f"acceptance:{layup}",
    ]  # fmt: skip
    settled()
    assert refused(books) == [f"acceptance:{layup}"]
    seen(layup, "thumbnail", NOW - 60)
    assert refused(books) == [f"acceptance:{layup}"]  # so early that it is said twice
    seen(layup, "thumbnail")
    done = signed()
    assert done.state == "closed"
    assert watch.watch(finding.layup(layup), NOW).closed_at == NOW


def test_structural_work_wants_its_hardness(books: Database) -> None:
    """The layer on top answers for the stack, and a coat answers for itself alone."""
    first = laid("S-1")
    top = laid("S-1", over=first, at=WEEK + 3600 * 5)
    coat = laid("S-1", over=top, at=WEEK + 3600 * 10, kind="coat")
    settled("S-1")
    assert refused(books, "S-1") == [f"acceptance:{top}", f"acceptance:{coat}"]
    seen(coat, "solvent_wipe")
    assert refused(books, "S-1") == [f"acceptance:{top}"]
    seen(top, "handed_over", override={"reason": "tap test"})
    assert signed("S-1").state == "closed"


def test_a_layup_in_trouble_is_open(books: Database) -> None:
    """Late to gel: it stays watched, and in every list, whoever signs."""
    layup = laid(at=NOW - 3600)
    seen(layup, "not_gelled")
    settled()
    assert refused(books) == [f"trouble:{layup}"]
    signed(**{f"trouble__{layup}": "the owner knows"})
    assert finding.layup(layup).closed_at is None


def test_who_may_sign(books: Database) -> None:
    """A lead; by class rules one whose token proves the name; without a token 'unverified'."""
    before = yard.contents(books)
    with pytest.raises(errors.NotAllowed):
        signed(hand=RUI)
    assert yard.contents(books) == before
    settings.change_yard(profile="class", now=NOW, hand=HAND)
    before = yard.contents(books)
    with pytest.raises(errors.NotAllowed, match="By class rules"):
        signed(hand=HAND)
    assert yard.contents(books) == before
    assert signed().signature is not None


def test_a_name_that_nothing_proved_is_kept_as_such() -> None:
    """Where nobody has a token, plain good practice takes the named lead's word."""
    told = signed(hand=HAND)
    assert told.signature is not None
    assert (told.signature.who, told.signature.verified) == ("Ines", False)


def test_where_there_are_tokens_one_is_shown(books: Database) -> None:
    """Also by whoever sits at the machine that has the store."""
    tokens.add_token(name="Ada", role="lead", now=NOW, hand=HAND)
    before = yard.contents(books)
    with pytest.raises(errors.NotAllowed, match="yard with tokens"):
        signed(hand=HAND)
    assert yard.contents(books) == before
    assert signed().signature is not None


def test_what_is_not_open_is_not_left_open(books: Database) -> None:
    """A slip of the pen is refused, and so is a second name for one thing."""
    before = yard.contents(books)
    with pytest.raises(errors.Invalid, match="not open"):
        signed(need__99="a slip")
    twice = [{"item": "gate:authority", "reason": "x"}] * 2
    with pytest.raises(errors.Invalid, match="not open"):
        sign.sign(finding.job("D-7"), left=twice, now=NOW, hand=LEAD)
    assert yard.contents(books) == before


def test_it_is_signed_once_and_reopened_by_a_lead_with_a_reason(books: Database) -> None:
    """The signature is voided, and both stay; signed again there are two."""
    layup = laid()
    seen(layup, "thumbnail")
    settled()
    signed()
    row = finding.job("D-7")
    before = yard.contents(books)
    with pytest.raises(errors.Signed, match="Ada"):
        signed()
    with pytest.raises(errors.Signed):
        change_job(row, title="Another", now=NOW, hand=LEAD)
    with pytest.raises(errors.Signed):
        change_job(row, title="Another", state="open", reason="x", now=NOW, hand=LEAD)
    with pytest.raises(errors.Invalid, match="needs a reason"):
        change_job(row, state="open", now=NOW, hand=LEAD)
    with pytest.raises(errors.NotAllowed):
        change_job(row, state="open", reason="x", now=NOW, hand=RUI)
    assert yard.contents(books) == before
    told = change_job(row, state="open", reason="a blister", now=NOW + 60, hand=LEAD)
    assert (told.state, told.signature) == ("open", None)
    assert watch.watch(finding.layup(layup), NOW + 60).closed_at is None
    seen(layup, "hardness", now=NOW + 60, value=41)
    signed(now=NOW + 120)
    first, second = sign.show_signing(finding.job("D-7"), NOW + 120).signatures
    assert first.voided is not None
    assert (first.voided.reason, first.voided.who) == ("a blister", "Ada")
    assert second.voided is None
    kinds = [each.kind for each in logbook.entries(None, 99)]
    assert kinds[:4] == ["job signed", "job reopened", "signature voided", "job signed"]


def test_a_closed_job_may_be_signed() -> None:
    """Its needs were released with it; the reason why it was closed stays."""
    change_job(finding.job("D-7"), state="closed", reason="done", now=NOW, hand=LEAD)
    told = signed(now=NOW + DAY)
    assert (told.closed_at, told.close_reason) == (NOW, "done")


def test_what_was_named_as_gate_says_what_it_found(books: Database) -> None:
    """A gate is left open by its own name."""
    laid()
    items = refused(books)
    told = signed(**{item.replace(":", "__"): "no logger in the yard" for item in items})
    assert told.signature is not None
    assert {each.item for each in told.signature.left_open} == set(items)
    found = {each.item: shown(each.found, "metric") for each in told.signature.left_open}
    assert "48 h" in found["gate:cure-time"]


def test_what_the_sheet_says_later_changes_no_signed_record() -> None:
    """Accepted by a wipe as its sheet gave no hardness; then the sheet gets one."""
    layup = laid("S-1")
    seen(layup, "solvent_wipe")
    settled("S-1")
    signed("S-1")
    yard.revise("LAM", makers.sheet(hardness_min=45), now=NOW + DAY)
    (accepted,) = usage.usage(finding.job("S-1"), NOW + DAY).acceptance
    assert (accepted.accepted, accepted.lacks) == (True, [])
    change_job(finding.job("S-1"), state="open", reason="look again", now=NOW + DAY, hand=LEAD)
    (open_again,) = usage.usage(finding.job("S-1"), NOW + DAY).acceptance
    assert not open_again.accepted


def test_nothing_goes_on_a_layer_of_a_signed_job(books: Database) -> None:
    """Whatever job the new layer is for: it would end the watch on the signed one."""
    below = laid("S-1")
    seen(below, "solvent_wipe")
    settled("S-1")
    signed("S-1")
    before = yard.contents(books)
    with pytest.raises(errors.Signed):
        laid("D-7", at=NOW, over=below)
    assert yard.contents(books) == before


def test_a_finding_that_was_not_opened_is_left_open(books: Database) -> None:
    """A blister nobody opened; a lead leaves it with a reason, or somebody opens it."""
    job = finding.job("D-7")
    told = findings.record_finding(
        job, place="keel", side="port", kind="blister", length=9_000, width=9_000,
        found_by="by eye", now=NOW, hand=HAND,
    )  # fmt: skip
    item = f"finding:{told.id}"
    assert item in refused(books)
    (found,) = [each.found for each in sign.open_items(job, NOW) if each.item == item]
    assert found == "keel, port: blister, not opened."
    surface.note_surface(job, kind="opened", place="keel", now=NOW, hand=HAND)
    assert item not in refused(books)
