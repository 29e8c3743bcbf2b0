"""Structural work waits until its job names its authority; what nobody said is asked.

Common practice, no source: the builder, a class society or a surveyor decides on structure.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from cureyard_service.acts.cure import gates
from cureyard_service.acts.cure.show import LayupView
from cureyard_service.acts.estimates.roll import roll
from cureyard_service.acts.estimates.sheets import sheets
from cureyard_service.acts.jobs import job as open_job
from cureyard_service.acts.jobs import job_cuts, need
from cureyard_service.acts.jobs.need import NeedsView
from cureyard_service.acts.pots.card import BatchView
from cureyard_service.acts.yard import finding
from cureyard_service.core import errors
from cureyard_service.store.stock.jobs import Structural
from cureyard_service.store.yard.hands import Hand
from peewee import Database

from .. import sample_yard as yard
from ..sample_yard import DAY, HAND, MIN, NOW, q

pytestmark = pytest.mark.usefixtures("books")

RUI = Hand("Rui", verified=True)
LEAVE = {"reason": "the surveyor comes on Monday"}
M = 1_000_000


def opened(structural: Structural, authority: str | None = None) -> str:
    """A job; its number."""
    told = open_job.open_job(
        number="K-1", title="Keel", craft="the ketch Gull", structural=structural,
        authority=authority, now=NOW, hand=HAND,
    )  # fmt: skip
    return str(told.number)


def wants(job: str, **facts: Any) -> NeedsView:
    """A metre of mat among the job's needs."""
    rows = [{"product": "MAT", "quantity": q("1 m")}]
    asked = {"wanted": rows, "now": NOW, "hand": HAND} | facts
    return need.add_needs(finding.job(job), **asked)


def lays(job: str, **facts: Any) -> LayupView:
    """A layup on the job."""
    return yard.laid(job=job, product="LAM", catalyst_percent=Decimal(2), **facts)


def cut_lists(job: str, now: int = NOW) -> list[Any]:
    """Every list to cut a job by."""
    ply = {"length": 600_000.0, "width": 400_000.0, "count": 1}
    return [
        job_cuts.job_cuts(finding.job(job), now),
        roll(plies=[ply], product="MAT", job=job, now=now),
        sheets(pieces=[{**ply, "turn": False}], product="PLY-4", job=job, now=now),
    ]


def test_a_structural_job_without_an_authority_is_held_back(books: Database) -> None:
    """No need, no layup, no cut list; nothing is written, and the answer says what to name."""
    job = opened("yes")
    yard.receive("MAT", "30 m")
    before = yard.contents(books)
    for act in (wants, lays, cut_lists):
        with pytest.raises(errors.AuthorityMissing, match="names no authority") as refused:
            act(job)
        assert "'authority'" in refused.value.advice
        assert refused.value.fields == {"job": job}
    assert yard.contents(books) == before


def test_with_its_authority_it_goes_on() -> None:
    """Once the job says whose rules it goes by, all of it is given."""
    job = opened("yes")
    open_job.change_job(finding.job(job), authority="report 12", now=NOW, hand=HAND)
    assert wants(job).needs
    assert lays(job).id
    assert all(cut_lists(job))
    assert yard.overrides() == []


def test_a_pot_is_not_held_back() -> None:
    """What is mixed is drawn and on record: it is the laying that waits, and the card says so."""
    yard.stocked()
    told = yard.pot(job=opened("yes"))
    assert any("its layup is refused until it does" in word for word in told.warnings)


def test_a_lead_answers_for_it_and_a_hand_does_not(books: Database) -> None:
    """The reason stays on record beside the layup and its job."""
    job = opened("yes")
    before = yard.contents(books)
    for act in (wants, lays):
        with pytest.raises(errors.NotAllowed):
            act(job, override=LEAVE, hand=RUI)
    assert yard.contents(books) == before
    layup = lays(job, override=LEAVE)
    (row,) = yard.overrides()
    assert (row.slug, row.reason, row.layup_id, row.job.number) == (
        "authority-missing", LEAVE["reason"], layup.id, job,
    )  # fmt: skip
    with pytest.raises(errors.AuthorityMissing):
        lays(job)


def test_an_override_on_the_job_lasts_a_day() -> None:
    """By the gate, or with a need: layups and cut lists go on until tomorrow, then it is asked."""
    job = opened("yes")
    gates.override_gate(finding.job(job), gate="authority", reason="agreed", now=NOW, hand=HAND)
    assert lays(job).id
    assert all(cut_lists(job, NOW + DAY - 1)[1:])
    (row,) = yard.overrides()
    assert (row.slug, row.layup_id) == ("authority-missing", None)
    with pytest.raises(errors.AuthorityMissing):
        cut_lists(job, NOW + DAY)


def test_a_need_with_an_override_and_its_withdrawal() -> None:
    """A need by leave stands, and taking it back needs nobody's."""
    job = opened("yes")
    told = wants(job, override=LEAVE)
    (row,) = yard.overrides()
    assert (row.slug, row.job.number) == ("authority-missing", job)
    back = [{"product": "MAT", "quantity": q("0 m"), "replaces": told.needs[0].id}]
    late = NOW + 2 * DAY
    assert wants(job, wanted=back, now=late, hand=RUI).needs == []
    with pytest.raises(errors.AuthorityMissing):
        wants(job, now=late, hand=RUI)


def test_what_nobody_said_is_asked_for_a_cut_list(books: Database) -> None:
    """Needs and layups go on; the list to cut by asks first whether it carries load."""
    job = opened("unknown")
    yard.receive("MAT", "30 m")
    assert wants(job).needs
    before = yard.contents(books)
    with pytest.raises(errors.AuthorityMissing, match="Nobody has said") as refused:
        cut_lists(job)
    assert "'structural' to no" in refused.value.advice
    assert yard.contents(books) == before
    open_job.change_job(finding.job(job), structural="no", now=NOW, hand=HAND)
    assert all(cut_lists(job))


def asked(told: LayupView | BatchView) -> int:
    """How often an answer says that nobody has said."""
    return sum("Nobody has said whether job" in word for word in told.warnings)


def test_it_is_said_once_a_job_that_it_is_not_known() -> None:
    """With the first pot, and with no later pot or layup; of a known job never."""
    yard.stocked()
    job = opened("unknown")
    pot = yard.pot(job=job)
    later = [
        yard.pot(job=job, now=NOW + MIN),
        yard.laid(pot.id, job=job, now=NOW + MIN),
        lays(job, now=NOW + MIN),
    ]
    assert [asked(told) for told in (pot, *later)] == [1, 0, 0, 0]
    assert [asked(told) for told in (yard.pot(), lays("D-7"), lays("S-1"))] == [0, 0, 0]


def test_it_is_said_with_a_first_layup_too() -> None:
    """A job that begins without a pot hears it with its layup."""
    job = opened("unknown")
    assert [asked(lays(job)), asked(lays(job))] == [1, 0]


@pytest.mark.parametrize(
    ("structural", "authority", "verdict"),
    [("no", None, "pass"), ("yes", None, "stop"), ("yes", "class", "pass"),
     ("unknown", None, "caution"), ("unknown", "class", "pass")],
)  # fmt: skip
def test_the_gate_says_the_same(structural: Structural, authority: str, verdict: str) -> None:
    """It stands first among the job's gates, before laminating."""
    told = gates.show_gates(finding.job(opened(structural, authority)), NOW)
    gate = told.gates[0]
    assert (gate.gate, gate.before, gate.verdict) == ("authority", "laminating", verdict)
