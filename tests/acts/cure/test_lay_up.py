"""Lay up: what was laid down is recorded; its pots, its bay and what it covers are checked."""

from __future__ import annotations

from decimal import Decimal
from math import exp
from typing import Any

import pytest
from cureyard_service.acts.bays import readings as read_bay
from cureyard_service.acts.cure import gates, watch
from cureyard_service.acts.cure.change_layup import change_layup
from cureyard_service.acts.cure.observe import observe_layup
from cureyard_service.acts.cure.show import LayupView, show_layup
from cureyard_service.acts.jobs import job as open_job
from cureyard_service.acts.jobs import usage
from cureyard_service.acts.pots.card import BatchView
from cureyard_service.acts.pots.observe import observe_pot
from cureyard_service.acts.stock import change_lot
from cureyard_service.acts.yard import finding
from cureyard_service.core import errors
from cureyard_service.core.amounts import quantities
from cureyard_service.core.words import shown as worded
from cureyard_service.store import tables
from peewee import Database

from ... import makers
from .. import by_hand
from .. import sample_yard as yard
from ..sample_yard import DAY, HAND, MIN, NOW, H, q

pytestmark = pytest.mark.usefixtures("books")


def shown(layup: LayupView, now: int = NOW) -> LayupView:
    """A layup as it stands at a moment."""
    return show_layup(watch.watch(finding.layup(layup.id), now))


def test_the_cure_sheet_stays_the_one_it_was_planned_with() -> None:
    """A product that is changed later changes no layup; the next pot has the new sheet."""
    yard.stocked()
    layup = yard.laid(yard.pot().id)
    slower = makers.sheet(
        gel_times=[makers.gel_time("20 degC", "60 min")], milestones={"recoat_opens": "6 h"}
    )
    yard.revise("LAM", slower)
    assert shown(layup).milestones == layup.milestones
    assert shown(layup).cure_revision == 1
    later = yard.laid(yard.pot().id)
    assert later.cure_revision == 2
    assert later.milestones.recoat_opens.at == pytest.approx(NOW + 6 * H, abs=MIN)


def test_a_pot_and_a_layup_may_straddle_a_revision() -> None:
    """The layup has the sheet that its pot was dosed by, not the one of its own moment."""
    yard.stocked()
    pot = yard.pot().id
    yard.revise("LAM", makers.sheet(surface="waxed"))
    layup = yard.laid(pot)
    assert (layup.cure_revision, layup.surface) == (1, "air_inhibited")


def test_several_pots() -> None:
    """Each gels from its mixing, the last at 50 min; closing runs from the first pot's mixing,
    opening from the last brush stroke. The last of two is later than one, the first sooner.
    """
    yard.stocked()
    first = yard.pot(now=NOW).id
    second = yard.pot(now=NOW + 30 * MIN).id
    layup = yard.laid(
        second, first, now=NOW + 45 * MIN, applied_at=NOW + 5 * MIN, finished_at=NOW + 40 * MIN
    )
    found = layup.milestones
    assert layup.batches == [first, second]
    assert found.gel.at == pytest.approx(NOW + 50 * MIN, abs=5)
    gels = [pot.gel.at for pot in layup.pots]
    assert gels == pytest.approx([NOW + 20 * MIN, NOW + 50 * MIN], abs=5)
    apart = exp(by_hand.POT * by_hand.OF_TWO)
    assert found.recoat_opens.at == pytest.approx(NOW + 40 * MIN + 2 * H * apart, abs=20)
    assert found.recoat_closes.at == pytest.approx(NOW + 20 * H / apart, abs=MIN)


OPENINGS, EDGES = ("gel", "recoat_opens"), ("at", "earliest", "latest")


def moment(layup: LayupView, name: str, edge: str) -> float:
    """One edge of a milestone's band."""
    return float(getattr(layup.milestones.by_name()[name], edge))


def bounded(both: LayupView, alone: list[LayupView]) -> None:
    """What opens of a layup comes with the last of its pots alone, what closes with the first."""
    for edge in EDGES:
        for name in OPENINGS:
            last = max(moment(one, name, edge) for one in alone)
            assert moment(both, name, edge) == pytest.approx(last, abs=1)
        first = min(moment(one, "recoat_closes", edge) for one in alone)
        assert moment(both, "recoat_closes", edge) == pytest.approx(first, abs=1)


def test_the_weak_pot_opens_and_the_strong_one_closes() -> None:
    """2.4 and 1 %: with the weak one beside it, the strong pot shuts when it shuts alone."""
    yard.stocked()
    pots = [yard.pot(catalyst_percent=Decimal(p)).id for p in ("2.4", "1")]
    both, alone = yard.laid(*pots), [yard.laid(pot) for pot in pots]
    bounded(both, alone)
    strong, weak = (one.milestones for one in alone)
    assert strong.recoat_closes.at < weak.recoat_closes.at - 5 * H
    assert both.milestones.gel.at == pytest.approx(NOW + 40 * MIN, abs=10)
    assert both.catalyst_percent is None
    assert [pot.catalyst_percent for pot in both.pots] == [Decimal("2.4"), Decimal(1)]


def test_the_percent_of_a_layup_is_told_where_its_pots_agree() -> None:
    """Of one pot, of two alike, of what was stated without a pot."""
    yard.stocked()
    first, second = yard.pot().id, yard.pot().id
    for layup in (
        yard.laid(first), yard.laid(first, second),
        yard.laid(product="LAM", catalyst_percent=Decimal(2)),
    ):  # fmt: skip
        assert layup.catalyst_percent == 2
        assert [pot.batch for pot in layup.pots] == layup.batches


def test_the_fastest_lot_of_several_pots_rules_nothing_but_the_closing() -> None:
    """Cups of 18 and 23 min of the sheet's 20: it opens by the slow lot, shuts by the fast one.

    What a cup says of its lot is shared with the pair and the thermometer, so it counts less.
    """
    fast, bottle = yard.stocked()
    slow = yard.receive("LAM", "20 kg")
    yard.cup(fast, bottle, "18 min")
    yard.cup(slow, bottle, "23 min")
    told = by_hand.factors(18 / 20, 23 / 20)
    pots = [yard.pot(resin_lot=lot.id).id for lot in (fast, slow)]
    for order in (pots, pots[::-1]):
        both = yard.laid(*order)
        bounded(both, [yard.laid(pot) for pot in pots])
        found = both.milestones
        assert [pot.factor for pot in both.pots] == pytest.approx(told, rel=0.01)
        assert found.gel.at - NOW == pytest.approx(told[1] * 20 * MIN, rel=0.01)
        assert found.recoat_opens.at - NOW == pytest.approx(told[1] ** 0.75 * 2 * H, rel=0.01)
        assert found.recoat_closes.at - NOW == pytest.approx(told[0] ** 0.75 * 20 * H, rel=0.01)


def test_a_pots_peroxide_and_filler_are_its_own() -> None:
    """A sheet of two peroxides: each pot is as strong as its own; only the filled band is wider."""
    for code, oxygen in (("PX-9", 9), ("PX-6", 6)):
        weak = makers.catalyst(code, active_oxygen_percent=oxygen, peroxide_type="mekp")
        yard.add(products=[weak])
        yard.receive(code, "1 kg", expires_on=yard.day(300))
    yard.revise("LAM", makers.sheet("PX-9", "PX-6", active_oxygen_percent=9, peroxide_type="mekp"))
    yard.receive("LAM", "20 kg")
    yard.receive("MICROS", "1 kg")
    micros = [{"product": "MICROS", "quantity": q("50 g")}]
    pots = [yard.pot(catalyst="PX-9").id, yard.pot(catalyst="PX-6", fillers=micros).id]
    both, alone = yard.laid(*pots), [yard.laid(pot) for pot in pots]
    bounded(both, alone)
    first, second = both.pots
    assert (first.catalyst, second.catalyst) == ("PX-9", "PX-6")
    assert (first.filled, second.filled) == (False, True)
    assert second.gel.at - NOW == pytest.approx(1.5 * (first.gel.at - NOW), rel=0.02)


def test_it_is_not_finished_before_its_last_pot_was_mixed(books: Database) -> None:
    """Nor taken to be, where nobody said when: then it opens from that mixing on."""
    yard.stocked()
    pots = [yard.pot().id, yard.pot(now=NOW + H).id]
    laid_at = {"now": NOW + 2 * H, "applied_at": NOW + 5 * MIN}
    before = yard.contents(books)
    with pytest.raises(errors.Invalid, match="last pot") as refused:
        yard.laid(*pots, finished_at=NOW + 30 * MIN, **laid_at)
    assert refused.value.pointer == "/finished_at"
    assert yard.contents(books) == before
    told = yard.laid(*pots, **laid_at)
    assert told.finished_at == NOW + H
    with pytest.raises(errors.Invalid, match="last pot"):
        change_layup(finding.layup(told.id), finished_at=NOW + 30 * MIN, now=NOW + 2 * H, hand=HAND)


@pytest.mark.parametrize("kind", ["lost", "not_mixed"])
def test_a_pot_that_is_gone_is_in_no_layup(books: Database, kind: str) -> None:
    """It gelled in the bucket, or never was."""
    yard.stocked()
    pot = yard.pot().id
    observe_pot(finding.batch(pot), kind=kind, now=NOW, hand=HAND)
    before = yard.contents(books)
    with pytest.raises(errors.Invalid, match=kind.replace("_", " ")):
        yard.laid(pot)
    assert yard.contents(books) == before


def test_pots_are_of_one_resin(books: Database) -> None:
    """Polyester and epoxy are two layups; a pot counts once, however often it is named."""
    yard.stocked()
    yard.receive("EPOX", "5 kg")
    yard.receive("HARD", "2 kg")
    pots = yard.pot().id, yard.pot("0.4 kg", resin="EPOX").id
    before = yard.contents(books)
    with pytest.raises(errors.Invalid, match="different resins"):
        yard.laid(*pots)
    with pytest.raises(errors.Invalid, match="twice"):
        yard.laid(pots[0], pots[0])
    assert yard.contents(books) == before


def test_wax_in_the_pot_waxes_the_face() -> None:
    """A waxed face has no window, and can be sanded; a bare air-inhibited one never."""
    yard.stocked()
    yard.receive("WAX", "1 kg")
    yard.add(products=[makers.resin("TOP", cure=makers.sheet(wax_percent_max=5))])
    yard.receive("TOP", "5 kg")
    wax = [{"product": "WAX", "quantity": q("50 g")}]
    waxed = yard.laid(
        yard.pot(
            resin="TOP", temperature=yard.heat("22 degC"), catalyst_percent=Decimal(2), fillers=wax
        ).id
    )
    bare = yard.laid(yard.pot().id)
    assert waxed.surface == "waxed"
    assert waxed.milestones.recoat_opens.why == "waxed-surface"
    assert waxed.window is None
    assert waxed.milestones.sandable.at is not None
    assert (bare.milestones.sandable.at, bare.milestones.sandable.why) == (None, "tacky-surface")
    assert "tacky" not in bare.state  # it is wet
    later = show_layup(watch.watch(finding.layup(bare.id), NOW + 5 * H))
    assert "tacky" in later.state


def test_a_cover_that_is_laid_on_makes_it_sandable() -> None:
    """Peel ply keeps the air away; its change raises the version."""
    layup = yard.laid(product="LAM", catalyst_percent=Decimal(2))
    covered = change_layup(
        finding.layup(layup.id), cover="peel_ply", now=NOW, hand=HAND
    )  # fmt: skip
    assert covered.milestones.sandable.at == pytest.approx(NOW + 8 * H, abs=MIN)
    assert (layup.version, covered.version) == (1, 2)


def test_what_comes_ready_to_use_has_no_pot() -> None:
    """A product with its percent; the pair's sheet; the catalyst is known where it is one."""
    layup = yard.laid(product="LAM", catalyst_percent=Decimal(2))
    assert (layup.batches, layup.catalyst) == ([], "PEROX")
    assert layup.milestones.recoat_opens.at == pytest.approx(NOW + 2 * H, abs=MIN)
    with pytest.raises(errors.Invalid, match="needs the percent"):
        yard.laid(product="LAM")


def test_a_build_over_the_greatest_is_a_stop_that_a_reason_lifts(books: Database) -> None:
    """Six millimetres at once run hot; who takes it on says why, on record."""
    yard.stocked()
    pot = yard.pot().id
    thick = quantities.parse("6 mm", quantities.SIZE)
    before = yard.contents(books)
    with pytest.raises(errors.OutsideLimits, match="over the greatest build"):
        yard.laid(pot, thickness=thick)
    assert yard.contents(books) == before
    layup = yard.laid(pot, thickness=thick, override={"reason": "cooled in between"})
    (row,) = yard.overrides()
    assert (row.slug, row.layup_id, row.job.number) == ("outside-limits", layup.id, "D-7")


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
    words = [worded(word, "metric") for word in cold.warnings]
    assert any("Colder than it may be laid up" in word for word in words)
    assert any("dew" in word.lower() for word in words)
    warm = yard.laid(
        product="LAM", catalyst_percent=Decimal(2), surface_temperature=yard.heat("22 degC")
    )
    assert warm.warnings == []


def below(hours: float, **facts: Any) -> LayupView:
    """A layup that went on so many hours before now."""
    at = int(NOW - hours * H)
    return yard.laid(product="LAM", catalyst_percent=Decimal(2), now=at, **facts)


def test_covering_ends_the_watch_on_the_layer_below() -> None:
    """In its window it wanted nothing; it is closed at the moment that it was covered."""
    lower = below(5)
    upper = below(0, over=lower.id)
    assert upper.over == lower.id
    assert not any("wanted" in word for word in upper.warnings)
    row = finding.layup(lower.id)
    assert (row.closed_at, row.closed_reason) == (NOW, f"covered by layup {upper.id}")
    assert shown(lower).state == ["finished"]


def _wax_words(told: LayupView | BatchView) -> list[str]:
    return [str(word) for word in told.warnings if "nothing bonds to wax" in str(word)]


def _waxed_gate(now: int = NOW) -> str:
    judged = {each.rule.gate: each for each in gates.judge(finding.job("D-7"), now, bay="SHED")}
    return judged["unwaxed"].verdict


@pytest.mark.parametrize("named", [True, False])
def test_wax_that_nobody_sanded_is_told(named: bool) -> None:
    """On the card of the pot and with the layup; common practice, no source: nothing bonds to it.

    Without 'over' it may lie on the last one, so that is told too; sanded, nothing is said.
    """
    yard.stocked()
    yard.revise("LAM", makers.sheet(surface="waxed"))
    lower = yard.laid(product="LAM", catalyst_percent=Decimal(2), job="D-7", now=NOW - 2 * DAY)
    pot = yard.pot()
    (word,) = _wax_words(pot)
    assert word.startswith(f"Layup {lower.id}, {lower.title}, has wax on its face")
    over = {"over": lower.id} if named else {}
    upper = yard.laid(pot.id, job="D-7", **over)
    assert len(_wax_words(upper)) == 1
    assert "needed this first" not in str(upper.warnings)
    assert _waxed_gate() == "caution"
    later = NOW + 2 * DAY
    observe_layup(finding.layup(upper.id), kind="sanded", now=later, hand=HAND)
    assert _waxed_gate(later) == ("caution" if named else "pass")


def test_of_sanded_wax_nothing_is_said() -> None:
    """Neither with the pot nor with the layup; and the gate passes."""
    yard.stocked()
    yard.revise("LAM", makers.sheet(surface="waxed"))
    lower = yard.laid(product="LAM", catalyst_percent=Decimal(2), job="D-7", now=NOW - 2 * DAY)
    observe_layup(finding.layup(lower.id), kind="sanded", now=NOW, hand=HAND)
    pot = yard.pot()
    upper = yard.laid(pot.id, job="D-7", over=lower.id, cover="peel_ply")
    assert (_wax_words(pot), _wax_words(upper)) == ([], [])
    assert _waxed_gate() == "pass"


@pytest.mark.parametrize(
    ("hours", "wanted"),
    [
        (1, "wait"),
        (15, "a glove that comes away clean"),
        (30, "solvent-wipe, let dry 15 min, then grind to dull"),
    ],
)
def test_covering_outside_the_window_says_what_it_wanted(hours: float, wanted: str) -> None:
    """Too soft yet, near an end, or past: it is recorded; the hand hears what was left out."""
    lower = below(hours)
    words = below(0, over=lower.id).warnings
    assert any(word.startswith(f"Layup {lower.id} needed this first") and wanted in word
               for word in words)  # fmt: skip


@pytest.mark.parametrize(
    ("job", "kind", "warned"),
    [
        ("S-1", None, True),
        ("S-1", "gelled", True),
        ("S-1", "no_transfer", False),
        ("S-1", "sanded", False),
        ("D-7", None, False),
    ],
)
def test_structure_on_a_window_that_nobody_touched_is_warned(
    job: str, kind: str | None, warned: bool
) -> None:
    """Six hours old in an unread bay: its window is a forecast, and the next step was to touch."""
    lower = below(6, job=job)
    if kind is not None:
        at = int(NOW - H)
        observe_layup(finding.layup(lower.id), kind=kind, at=at, now=NOW, hand=HAND)
    assert (shown(lower).next.action == "touch") is warned
    upper = below(0, over=lower.id, job=job)
    found = [word for word in upper.warnings if "Nobody has touched it" in str(word)]
    assert [word.startswith(f"Layup {lower.id} needed this first: touch.") for word in found] == (
        [True] * warned
    )
    layups = usage.usage(finding.job(job), NOW).layups
    (used,) = (each for each in layups if each.id == upper.id)
    assert used.bond is not None
    assert used.bond.wanted == ["touch"] * warned


def test_structure_on_a_window_that_was_measured_is_not_warned() -> None:
    """A logger ran all the while: the clock is no guess."""
    lower = below(6, job="S-1")
    readings = [
        {"at": at, "temperature": yard.heat("20 degC")} for at in range(NOW - 7 * H, NOW + 1, H)
    ]
    read_bay.read_bay(bay="SHED", readings=readings, now=NOW, hand=HAND)
    assert not any("touch" in str(word) for word in below(0, over=lower.id, job="S-1").warnings)


def test_polyester_on_epoxy_is_a_stop_on_structure_and_a_caution_elsewhere() -> None:
    """Said of the chemistry that went on, by the job that it went on for."""
    ready = makers.one_part_sheet(milestones={"recoat_opens": "2 h"})
    yard.add(products=[makers.product("EP", "coating", chemistry="epoxy", cure=ready)])
    words = {}
    for job in ("D-7", "S-1"):
        lower = yard.laid(product="EP", now=NOW - 5 * H)
        words[job] = " ".join(below(0, over=lower.id, job=job).warnings)
    assert "Caution: polyester" in words["D-7"]
    assert "Stop: polyester" in words["S-1"]


def test_a_structural_job_wants_a_sign_off() -> None:
    """The caution comes with the layup of a structural job, not with the other."""
    facts = {"product": "LAM", "catalyst_percent": Decimal(2)}
    assert yard.laid(job="S-1", **facts).cautions
    assert yard.laid(**facts).cautions == []


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
    asked = {"batches": [yard.pot().id]} | facts
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
    with pytest.raises(errors.JobClosed, match="1 layup still cures"):
        open_job.change_job(finding.job("D-7"), state="closed", now=NOW, hand=HAND)
    assert yard.contents(books) == before
    open_job.change_job(
        finding.job("D-7"), state="closed", reason="craft was sold", now=NOW, hand=HAND
    )
    assert finding.layup(layup.id).closed_reason == "craft was sold"
    (row,) = yard.overrides()
    assert (row.slug, row.reason) == ("job-closed", "craft was sold")


def test_a_held_lot_in_a_pot_does_not_unlay_it() -> None:
    """What is laid down is recorded even if its drum is suspect by now."""
    drum, _ = yard.stocked()
    pot = yard.pot().id
    change_lot.change_lot(drum, held=True, reason="lumps", now=NOW, hand=HAND)
    assert yard.laid(pot).batches == [pot]


def test_a_pot_that_gelled_in_its_bucket_is_not_laid(books: Database) -> None:
    """A hand saw it gelled before: refused, unless it went on before that."""
    yard.stocked()
    pot = yard.pot(now=NOW).id
    observe_pot(tables.Batch.get_by_id(pot), kind="gelled", now=NOW + 20 * MIN, hand=yard.HAND)
    rows = yard.contents(books)
    with pytest.raises(errors.Invalid, match=r"had gelled at .* before it was laid"):
        yard.laid(pot, now=NOW + H)
    assert yard.contents(books) == rows
    told = yard.laid(pot, now=NOW + H, applied_at=NOW + 5 * MIN)
    assert not [word for word in told.warnings if "must have gelled" in word]


def test_a_pot_that_must_have_gelled_is_told_of(books: Database) -> None:
    """Nobody looked, and its latest gel time was hours ago."""
    yard.stocked()
    told = yard.laid(yard.pot(now=NOW).id, now=NOW + 3 * H)
    assert any("must have gelled by" in word for word in told.warnings)


@pytest.mark.parametrize(("minutes", "told"), [(-1, False), (1, True)])
def test_a_pot_spread_past_its_working_time_is_told_of(minutes: int, told: bool) -> None:
    """A minute before its working time is over nothing is said; a minute after, its last is."""
    yard.stocked()
    pot = yard.pot(now=NOW).id
    end = finding.batch(pot, "").spread_by + minutes * MIN
    layup = yard.laid(pot, now=end, applied_at=NOW + MIN, finished_at=end)
    assert any(f"Pot {pot} was to be spread by" in word for word in layup.warnings) is told


def test_what_lies_on_an_unsettled_layer_says_so(books: Database) -> None:
    """Until somebody says what became of the layer below."""
    lower = yard.laid(product="LAM", catalyst_percent=Decimal(2)).id
    upper = yard.laid(
        product="LAM", catalyst_percent=Decimal(2), over=lower, override={"reason": "the owner"}
    ).id

    def words() -> list[str]:
        told = show_layup(watch.watch(finding.layup(upper), NOW + H)).warnings
        return [word for word in told if "was not sound when it was covered" in word]

    assert words()
    observe_layup(finding.layup(lower), kind="gelled", now=NOW + H, hand=yard.HAND)
    assert not words()
