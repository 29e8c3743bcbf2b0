"""Lay up: what was laid down is recorded; its pots, its bay and what it covers are checked."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from cureyard_service.acts import (
    change_lot,
    finding,
    lay_up,
    observe,
    open_job,
    read_bay,
    watch,
)
from cureyard_service.acts.add_product import add_product, change_product
from cureyard_service.core import errors, quantities
from cureyard_service.store import tables
from peewee import Database

from . import yard
from .yard import HAND, MIN, NOW, H, q

pytestmark = pytest.mark.usefixtures("books")


def shown(layup: dict[str, Any], now: int = NOW) -> dict[str, Any]:
    """A layup as it stands at a moment."""
    return watch.show(watch.watch(finding.layup(layup["id"]), now))


def test_the_cure_sheet_stays_the_one_it_was_planned_with() -> None:
    """A product that is changed later changes no layup; the next pot has the new sheet."""
    yard.stocked()
    layup = yard.laid(yard.pot()["id"])
    slower = yard.sheet(
        gel_times=[yard.gel_time("20 degC", 2, "60 min")],
        milestones={"recoat_opens": {"time": yard.span("6 h")}},
    )
    change_product(finding.product("LAM"), cure=[slower], now=NOW, hand=HAND)
    assert shown(layup)["milestones"] == layup["milestones"]
    assert shown(layup)["cure_revision"] == 1
    later = yard.laid(yard.pot()["id"])
    assert later["cure_revision"] == 2
    assert later["milestones"]["recoat_opens"]["at"] == NOW + 6 * H


def test_a_pot_and_a_layup_may_straddle_a_revision() -> None:
    """The layup has the sheet that its pot was dosed by, not the one of its own moment."""
    yard.stocked()
    pot = yard.pot()["id"]
    change_product(
        finding.product("LAM"), cure=[yard.sheet(surface="waxed")], now=NOW, hand=HAND
    )  # fmt: skip
    layup = yard.laid(pot)
    assert (layup["cure_revision"], layup["surface"]) == (1, "air_inhibited")


def test_several_pots() -> None:
    """Gel and closing run from the first pot's mixing, opening from the last brush stroke."""
    yard.stocked()
    first = yard.pot(now=NOW)["id"]
    second = yard.pot(now=NOW + 30 * MIN)["id"]
    layup = yard.laid(
        second, first, now=NOW + 45 * MIN, applied_at=NOW + 5 * MIN, finished_at=NOW + 40 * MIN
    )
    found = layup["milestones"]
    assert layup["batches"] == [first, second]
    assert found["gel"]["at"] == pytest.approx(NOW + 20 * MIN, abs=5)
    assert found["recoat_opens"]["at"] == pytest.approx(NOW + 40 * MIN + 2 * H, abs=1)
    assert found["recoat_closes"]["at"] == pytest.approx(NOW + 20 * H, abs=1)


def test_the_weakest_pot_rules_what_opens() -> None:
    """One per cent in one of two pots: it gels later, and opens later."""
    yard.stocked()
    strong, weak = yard.pot()["id"], yard.pot(catalyst_percent=Decimal(1))["id"]
    both = yard.laid(strong, weak)["milestones"]
    alone = yard.laid(strong)["milestones"]
    assert both["gel"]["at"] == pytest.approx(NOW + 40 * MIN, abs=10)
    assert both["recoat_opens"]["at"] > alone["recoat_opens"]["at"] + H


@pytest.mark.parametrize("kind", ["lost", "not_mixed"])
def test_a_pot_that_is_gone_is_in_no_layup(books: Database, kind: str) -> None:
    """It gelled in the bucket, or never was."""
    yard.stocked()
    pot = yard.pot()["id"]
    observe.observe_pot(finding.batch(pot), kind=kind, now=NOW, hand=HAND)
    before = yard.contents(books)
    with pytest.raises(errors.Invalid, match=kind.replace("_", " ")):
        yard.laid(pot)
    assert yard.contents(books) == before


def test_pots_are_of_one_resin(books: Database) -> None:
    """Polyester and epoxy are two layups; a pot counts once, however often it is named."""
    yard.stocked()
    yard.receive("EPOX", "5 kg")
    yard.receive("HARD", "2 kg")
    pots = yard.pot()["id"], yard.pot("0.4 kg", resin="EPOX")["id"]
    before = yard.contents(books)
    with pytest.raises(errors.Invalid, match="one resin"):
        yard.laid(*pots)
    with pytest.raises(errors.Invalid, match="twice"):
        yard.laid(pots[0], pots[0])
    assert yard.contents(books) == before


def test_wax_in_the_pot_waxes_the_face() -> None:
    """A waxed face has no window, and can be sanded; a bare air-inhibited one never."""
    yard.stocked()
    yard.receive("WAX", "1 kg")
    waxed = yard.laid(yard.pot(fillers=[{"product": "WAX", "quantity": q("50 g")}])["id"])
    bare = yard.laid(yard.pot()["id"])
    assert waxed["surface"] == "waxed"
    assert waxed["milestones"]["recoat_opens"]["why"] == "waxed-surface"
    assert waxed["window"] is None
    assert waxed["milestones"]["sandable"]["at"] is not None
    assert bare["milestones"]["sandable"] == {"at": None, "why": "tacky-surface"}
    assert "tacky" in bare["state"]


def test_a_cover_that_is_laid_on_makes_it_sandable() -> None:
    """Peel ply keeps the air away; its change raises the version."""
    layup = yard.laid(product="LAM", catalyst_percent=Decimal(2))
    covered = lay_up.change_layup(
        finding.layup(layup["id"]), cover="peel_ply", now=NOW, hand=HAND
    )  # fmt: skip
    assert covered["milestones"]["sandable"]["at"] == pytest.approx(NOW + 8 * H, abs=1)
    assert (layup["version"], covered["version"]) == (1, 2)


def test_what_comes_ready_to_use_has_no_pot() -> None:
    """A product with its percent; the pair's sheet; the catalyst is known where it is one."""
    layup = yard.laid(product="LAM", catalyst_percent=Decimal(2))
    assert (layup["batches"], layup["catalyst"]) == ([], "PEROX")
    assert layup["milestones"]["recoat_opens"]["at"] == pytest.approx(NOW + 2 * H, abs=1)
    with pytest.raises(errors.Invalid, match="needs the percent"):
        yard.laid(product="LAM")


def test_a_build_over_the_greatest_is_a_stop_that_a_reason_lifts(books: Database) -> None:
    """Six millimetres at once run hot; who takes it on says why, on record."""
    yard.stocked()
    pot = yard.pot()["id"]
    thick = quantities.parse("6 mm", quantities.SIZE)
    before = yard.contents(books)
    with pytest.raises(errors.OutsideLimits, match="over the greatest build"):
        yard.laid(pot, thickness=thick)
    assert yard.contents(books) == before
    layup = yard.laid(pot, thickness=thick, override={"reason": "cooled in between"})
    (row,) = yard.overrides()
    assert (row.slug, row.layup_id, row.job.number) == ("outside-limits", layup["id"], "D-7")


def test_cold_and_dew_are_words_not_refusals() -> None:
    """The part is wet already: it is recorded whatever the air is."""
    read_bay.read_bay(
        bay="SHED",
        readings=[{"at": NOW, "temperature": yard.heat("20 degC"), "humidity_percent": 80}],
        now=NOW, hand=HAND,
    )  # fmt: skip
    cold = yard.laid(
        product="LAM", catalyst_percent=Decimal(2), surface_temperature=yard.heat("10 degC")
    )
    assert any("Colder than it may be laid up" in word for word in cold["warnings"])
    assert any("dew" in word.lower() for word in cold["warnings"])
    warm = yard.laid(
        product="LAM", catalyst_percent=Decimal(2), surface_temperature=yard.heat("22 degC")
    )
    assert warm["warnings"] == []


def below(hours: float, **facts: Any) -> dict[str, Any]:
    """A layup that went on so many hours before now."""
    at = int(NOW - hours * H)
    return yard.laid(product="LAM", catalyst_percent=Decimal(2), now=at, **facts)


def test_covering_ends_the_watch_on_the_layer_below() -> None:
    """In its window it wanted nothing; it is closed at the moment that it was covered."""
    lower = below(5)
    upper = below(0, over=lower["id"])
    assert upper["over"] == lower["id"]
    assert not any("wanted" in word for word in upper["warnings"])
    row = finding.layup(lower["id"])
    assert (row.closed_at, row.closed_reason) == (NOW, f"covered by layup {upper['id']}")
    assert shown(lower)["state"] == ["finished"]


@pytest.mark.parametrize(
    ("hours", "wanted"), [(1, "wait"), (15, "solvent-wipe, let dry 15 min, then grind to dull")]
)
def test_covering_outside_the_window_says_what_it_wanted(hours: float, wanted: str) -> None:
    """Too soft yet, or past: it is recorded, and the hand hears what was left out."""
    lower = below(hours)
    words = below(0, over=lower["id"])["warnings"]
    assert any(word.startswith(f"Layup {lower['id']} wanted this first") and wanted in word
               for word in words)  # fmt: skip


def test_polyester_on_epoxy_is_a_stop_on_structure_and_a_caution_elsewhere() -> None:
    """Said of the chemistry that went on, by the job that it went on for."""
    add_product(
        code="EP", name="Epoxy, ready", role="coating", chemistry="epoxy", now=NOW, hand=HAND,
        cure=[{"mix": {"kind": "one_part"}, "surface": "plain",
               "milestones": {"recoat_opens": {"time": yard.span("2 h")}}}],
    )  # fmt: skip
    words = {}
    for job in ("D-7", "S-1"):
        lower = yard.laid(product="EP", now=NOW - 5 * H)
        words[job] = " ".join(below(0, over=lower["id"], job=job)["warnings"])
    assert "Caution: polyester" in words["D-7"]
    assert "Stop: polyester" in words["S-1"]


def test_a_structural_job_wants_a_sign_off() -> None:
    """The caution comes with the layup of a structural job, not with the other."""
    facts = {"product": "LAM", "catalyst_percent": Decimal(2)}
    assert yard.laid(job="S-1", **facts)["cautions"]
    assert yard.laid(**facts)["cautions"] == []


@pytest.mark.parametrize(
    ("facts", "refusal", "pointer"),
    [
        ({"job": "D-99"}, errors.UnknownReference, "/job"),
        ({"bay": "NONE"}, errors.UnknownReference, "/bay"),
        ({"batches": [99]}, errors.UnknownReference, "/batches/0"),
        ({"over": 99}, errors.UnknownReference, "/over"),
        ({"product": "LAM"}, errors.Invalid, ""),
        ({"batches": None}, errors.Invalid, ""),
        ({"applied_at": NOW + H}, errors.Invalid, "/applied_at"),
        ({"applied_at": NOW - 1}, errors.Invalid, "/applied_at"),
        ({"finished_at": NOW - 1}, errors.Invalid, "/finished_at"),
        ({"batches": None, "product": "MAT"}, errors.CureSheetMissing, ""),
    ],
)
def test_what_is_refused_changes_nothing(
    books: Database, facts: dict[str, Any], refusal: type[errors.Refusal], pointer: str
) -> None:
    """A layup that can't be is not recorded, and covers nothing."""
    yard.stocked()
    asked = {"batches": [yard.pot()["id"]]} | facts
    before = yard.contents(books)
    with pytest.raises(refusal) as refused:
        yard.laid(**asked)
    assert refused.value.pointer == pointer
    assert yard.contents(books) == before
    assert yard.rows_of(tables.Layup) == 0


def test_a_job_is_not_closed_over_what_still_cures(books: Database) -> None:
    """Unless a reason is given: then the layup's watch ends with the job, on record."""
    layup = yard.laid(product="LAM", catalyst_percent=Decimal(2))
    before = yard.contents(books)
    with pytest.raises(errors.JobClosed, match="still cure"):
        open_job.change_job(finding.job("D-7"), state="closed", now=NOW, hand=HAND)
    assert yard.contents(books) == before
    open_job.change_job(
        finding.job("D-7"), state="closed", reason="craft was sold", now=NOW, hand=HAND
    )
    assert finding.layup(layup["id"]).closed_reason == "craft was sold"
    (row,) = yard.overrides()
    assert (row.slug, row.reason) == ("job-closed", "craft was sold")


def test_a_held_lot_in_a_pot_does_not_unlay_it() -> None:
    """What is laid down is recorded even if its drum is suspect by now."""
    drum, _ = yard.stocked()
    pot = yard.pot()["id"]
    change_lot.change_lot(drum, held=True, reason="lumps", now=NOW, hand=HAND)
    assert yard.laid(pot)["batches"] == [pot]
