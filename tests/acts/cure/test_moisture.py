"""Layups that cure by moisture: tooled, left to skin, and judged by the humidity that was read."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from cureyard_service.acts.bays import readings as read_bay
from cureyard_service.acts.cure import hand_over, watch
from cureyard_service.acts.cure.change_layup import change_layup
from cureyard_service.acts.cure.observe import observe_layup
from cureyard_service.acts.cure.show import LayupView, show_layup
from cureyard_service.acts.jobs import sign
from cureyard_service.acts.wall import announce, calendar
from cureyard_service.acts.wall.now import what_now
from cureyard_service.acts.wall.ribbon import show_ribbon
from cureyard_service.acts.yard import finding
from cureyard_service.core import errors
from cureyard_service.core.products import cautions
from cureyard_service.core.words import shown as worded
from cureyard_service.store.yard.hands import Hand

from ... import makers
from .. import sample_yard as yard
from ..sample_yard import DAY, HAND, MIN, NOW, H

pytestmark = pytest.mark.usefixtures("books")


@pytest.fixture(autouse=True)
def sealant(books: object) -> None:
    """A sealant of 3 mm in 24 h at 23 °C and 50 %, and a bay that keeps just that."""
    yard.add(products=[makers.sealant()], bays=[makers.bay("DRY", "23 degC")])


def read(since: int, until: int, bay: str = "DRY", celsius: float = 23, wet: float = 50) -> None:
    """A logger's hours."""
    rows = [
        {"at": at, "temperature": Decimal(str(celsius + 273.15)), "humidity_percent": Decimal(wet)}
        for at in range(since, until + 1, H)
    ]
    read_bay.read_bay(bay=bay, readings=rows, now=max(until, NOW), hand=HAND)


def joint(now: int = NOW, **facts: Any) -> LayupView:
    """A joint of 3 mm, laid in the dry bay."""
    usual = {"product": "SEAL", "bay": "DRY", "kind": "bond", "thickness": Decimal(3_000)}
    given = {name: value for name, value in (usual | facts).items() if value is not None}
    return yard.laid(now=now, **given)


def shown(layup: LayupView, now: int) -> LayupView:
    """A layup as it stands at a moment."""
    return show_layup(watch.watch(finding.layup(layup.id), now))


def see(layup: LayupView, kind: str, now: int) -> LayupView:
    """A layup after a look."""
    return observe_layup(finding.layup(layup.id), kind=kind, now=now, hand=HAND)


def test_in_the_sheet_s_air_it_is_the_sheet_s_times() -> None:
    """24.00 h (15.91 to 36.21) for 3 mm, an hour for the skin; made answers."""
    read(NOW - 3 * H, NOW)
    layup = joint()
    skin, through = layup.milestones.skin, layup.milestones.through
    assert skin is not None
    assert through is not None
    hours = [((at or 0) - NOW) / H for at in (through.earliest, through.at, through.latest)]
    assert hours == pytest.approx([15.91, 24.00, 36.21], rel=2e-3)
    assert ((skin.at or 0) - NOW) / MIN == pytest.approx(60, rel=5e-3)
    assert layup.milestones.gel.why == "not-on-sheet"
    assert (layup.window, layup.touch_window) == (None, None)
    assert layup.by_moisture is not None
    assert layup.by_moisture.tool_by == skin.earliest
    assert {cautions.ISOCYANATE, cautions.NO_ALCOHOL} <= set(layup.cautions)


def test_its_states_and_what_to_do_from_tooling_to_the_cut() -> None:
    """Wet and to be tooled, left alone, skinned and not to be loaded, cured through."""
    read(NOW - 3 * H, NOW + 48 * H)
    layup = joint()
    told = {
        minutes: (one.sign, one.do.words)
        for minutes in (10, 50, 120, 40 * 60)
        for one in [shown(layup, NOW + minutes * MIN)]
    }
    assert told == {
        10: ("wet", "tool it by"),
        50: ("wet", "leave until"),
        120: ("skinned", "load it from"),
        40 * 60: ("cured_through", "cut an edge to see"),
    }
    felt = see(layup, "gelled", NOW + 70 * MIN)
    assert (felt.sign, felt.seen) == ("skinned", ["skinned"])
    assert felt.milestones.skin is not None
    assert felt.milestones.skin.basis == "observed"


def test_a_nail_finds_its_skin_alone() -> None:
    """Hardness and the like count once the clock says that it is cured through."""
    read(NOW - 3 * H, NOW + 48 * H)
    layup = joint()
    for kind in ("thumbnail", "no_transfer", "green", "sanded", "solvent_wipe"):
        with pytest.raises(errors.Invalid, match="finds its skin"):
            see(layup, kind, NOW + 20 * H)
    with pytest.raises(errors.NotCured, match="cured through") as refused:
        see(layup, "handed_over", NOW + 20 * H)
    assert "cut an edge" in str(refused.value.advice)
    assert "hardness" not in str(refused.value.advice)
    cut = see(layup, "thumbnail", NOW + 40 * H)
    assert cut.state == ["skinned", "cured_through", "sandable"]
    assert cut.do.words == "may be moved"
    assert see(layup, "handed_over", NOW + 41 * H).closed_at is not None


def test_without_humidity_only_the_tooling_is_told() -> None:
    """No promise, and a word on what to read; then it is told."""
    layup = joint()
    assert [layup.milestones.skin, layup.milestones.through] != [None, None]
    assert {m.why for m in (layup.milestones.skin, layup.milestones.through) if m} == {
        "no-humidity"
    }
    assert layup.do.words == "tool it by"
    assert any("humidity" in str(each) or "read with it" in str(each) for each in layup.warnings)
    late = shown(layup, NOW + 5 * H)
    assert late.do.words == "read its humidity"
    assert late.by_moisture is not None
    assert late.by_moisture.no_humidity_since == NOW
    read(NOW + 5 * H, NOW + 5 * H)
    later = shown(layup, NOW + 5 * H)
    assert later.milestones.through is not None
    assert later.milestones.through.at is not None


def test_a_gap_counts_for_nothing() -> None:
    """'At least so deep; no humidity since', with what hours there were."""
    read(NOW - H, NOW + 6 * H)
    layup = joint()
    before, after = shown(layup, NOW + 6 * H), shown(layup, NOW + 16 * H)
    assert before.by_moisture is not None
    assert after.by_moisture is not None
    assert after.by_moisture.likely == pytest.approx(before.by_moisture.likely, rel=1e-3)
    assert after.by_moisture.no_humidity_since == NOW + 6 * H
    words = [worded(each, "metric") for each in after.warnings]
    assert any(each.startswith("At least 1.") and "no humidity since" in each for each in words)


def test_too_cold_it_promises_nothing() -> None:
    """The barn keeps 4 °C, the sheet wants 5: heat, and no hour."""
    read(NOW - 3 * H, NOW, bay="BARN", celsius=4, wet=80)
    layup = joint(bay="BARN")
    assert layup.milestones.through is not None
    assert layup.milestones.through.why == "below-coldest"
    later = shown(layup, NOW + 3 * H)
    assert (later.next.action, later.do.words) == ("heat", "keep BARN warmer")
    assert any("5 °C" in worded(each, "metric") for each in later.warnings)


def test_too_cold_and_unread_it_is_warmth_that_it_needs_first() -> None:
    """To read the humidity would help nothing, and no hour is promised."""
    layup = joint(bay="BARN")
    for hours in (6, 30):
        told = shown(layup, NOW + hours * H)
        assert (told.do.words, told.do.urgency) == ("keep BARN warmer", "trouble")
        assert "warmer" in worded(told.next.text, "metric")


def test_a_bead_that_nobody_watches_any_more_still_has_to_cure() -> None:
    """Its job was signed: it says until when to keep loads off, and then nothing."""
    read(NOW - 3 * H, NOW + 48 * H)
    layup = joint()
    job, lead = finding.job(layup.job), Hand("Rui", verified=True, role="lead")
    left = [{"item": each.item, "reason": "afloat"} for each in sign.open_items(job, NOW + H)]
    sign.sign(job, left=left, now=NOW + H, hand=lead)
    told = shown(layup, NOW + 2 * H)
    assert told.state == ["finished"]
    assert "Keep loads off it" in worded(told.next.text, "metric")
    assert told.do.words == "load it from"
    assert shown(layup, NOW + 60 * H).do.words == "nothing more"


def test_between_tight_faces_it_is_told_beforehand() -> None:
    """60 mm: from its edges, about 100 days in the sheet's air; and it is watched that long."""
    read(NOW - 3 * H, NOW)
    base = joint(thickness=None, tight_width=Decimal(60_000))
    assert base.tight_width == 60_000
    assert base.by_moisture is not None
    assert (base.by_moisture.comes, base.by_moisture.depth) == ("edges", 30_000)
    words = " ".join(worded(each, "metric") for each in base.warnings)
    assert "from its edges alone" in words
    assert "about 100 days" in words
    read(NOW + 69 * DAY, NOW + 70 * DAY)
    warm = joint(thickness=None, tight_width=Decimal(60_000), surface_temperature=Decimal("296.15"))
    for one in (base, warm):
        moist = shown(one, NOW + 70 * DAY).by_moisture
        assert moist is not None
        assert moist.likely > 0
    later = shown(base, NOW + 70 * DAY)
    assert later.by_moisture is not None
    assert later.by_moisture.likely == pytest.approx(30_000 * (1 / 100) ** 0.5, rel=0.1)
    with pytest.raises(errors.Invalid, match="does not cure by moisture"):
        joint(product="LAM", catalyst_percent=Decimal(2), tight_width=Decimal(60_000))


def test_carried_to_another_bay_it_has_that_bay_s_air() -> None:
    """Half a day in the dry bay, and then in wetter air: sooner through than if it had stayed."""
    read(NOW - H, NOW + 24 * H)
    read(NOW - H, NOW + 24 * H, bay="TENT", celsius=30, wet=90)
    stays, goes = joint(), joint()
    change_layup(
        finding.layup(goes.id), bay="TENT", moved_at=NOW + 6 * H, now=NOW + 6 * H, hand=HAND
    )
    here, there = shown(stays, NOW + 12 * H), shown(goes, NOW + 12 * H)
    assert here.by_moisture is not None
    assert there.by_moisture is not None
    assert there.by_moisture.likely > 1.2 * here.by_moisture.likely
    known = show_layup(watch.watch(finding.layup(goes.id), NOW + 12 * H, NOW + 5 * H))
    assert known.bay == "DRY"


def test_covered_before_it_is_through_it_is_trouble() -> None:
    """Paint shuts the air out: a lead alone lays it, and the bead stays in every list."""
    read(NOW - 3 * H, NOW + 48 * H)
    yard.stocked()
    early, late = joint(), joint()
    paint = {"kind": "coat", "product": "LAM", "catalyst_percent": Decimal(2)}
    see(early, "gelled", NOW + 2 * H)
    with pytest.raises(errors.UnsoundBelow, match="cured through"):
        joint(now=NOW + 10 * H, over=early.id, **paint)
    shut = joint(now=NOW + 10 * H, over=early.id, override={"reason": "a trial"}, **paint)
    assert any("no more moisture" in str(each) for each in shut.warnings)
    for hours in (10, 47):
        told = shown(early, NOW + hours * H)
        assert "unsettled" in told.state
        assert told.milestones.through is not None
        assert told.milestones.through.at is None
    assert early.id in {each.id for each in what_now(NOW + 47 * H).layups}
    free = joint(now=NOW + 40 * H, over=late.id, **paint)
    assert not any("no more moisture" in str(each) for each in free.warnings)
    assert shown(late, NOW + 41 * H).state == ["finished"]


def test_under_film_nothing_comes_in() -> None:
    """Nothing is promised of it, and it says why."""
    read(NOW - 3 * H, NOW)
    told = joint(cover="film")
    assert told.milestones.through is not None
    assert (told.milestones.through.at, told.milestones.through.why) == (None, "covered")
    assert any("nothing is promised until it is open" in str(each) for each in told.warnings)


def test_wet_past_its_skin_time_is_trouble() -> None:
    """Late, then suspect: nothing is promised, and its own words say why."""
    read(NOW - 3 * H, NOW + 12 * H)
    layup = joint()
    late = see(layup, "not_gelled", NOW + 100 * MIN)
    assert late.state == ["wet", "late"]
    assert late.next.action == "probe"
    assert late.do.urgency == "trouble"
    suspect = see(layup, "not_gelled", NOW + 5 * H)
    assert "suspect" in suspect.state
    assert "container" in str(suspect.next.text)
    with pytest.raises(errors.UnsoundBelow):
        joint(now=NOW + 5 * H, over=layup.id)
    assert see(layup, "gelled", NOW + 6 * H).sign == "skinned"


def test_its_calendar_and_its_bell_have_its_own_words() -> None:
    """Tool it before it skins; cured through. A hand that finds the skin answers the first."""
    read(NOW - 3 * H, NOW)
    layup = joint()
    events = {each.name: each for each in calendar.calendar(NOW).events}
    assert set(events) == {"tool", "through"}
    assert events["tool"].at <= layup.milestones.skin.earliest  # type: ignore[union-attr, operator]
    news = [due.name for due in announce._news(watch.watch(finding.layup(layup.id), NOW))]
    assert news == ["tool", "through"]
    see(layup, "gelled", NOW + 70 * MIN)
    later = {each.name: each.cancelled for each in calendar.calendar(NOW + 70 * MIN).events}
    assert later["through"] is False
    ribbon = show_ribbon(watch.watch(finding.layup(layup.id), NOW + 70 * MIN), NOW + 70 * MIN)
    assert ribbon.until > NOW + 20 * H


def test_structural_work_is_not_proven_by_the_clock_alone() -> None:
    """Cured through by its clock, it still wants a wipe that leaves it hard, or a lead's word."""
    read(NOW - 3 * H, NOW + 48 * H)
    layup = joint(job="S-1")
    state = hand_over.state_of(finding.layup(layup.id), NOW + 48 * H, NOW + 48 * H)
    assert state.hard
    with pytest.raises(errors.NotCured):
        see(layup, "handed_over", NOW + 48 * H)
    see(layup, "solvent_wipe", NOW + 48 * H)
    assert see(layup, "handed_over", NOW + 49 * H).closed_at is not None


@pytest.mark.parametrize(
    ("changes", "refused"),
    [
        ({"cured_depth": None}, errors.CureSheetMissing),
        ({"cured_depth": None, "cures_by": None}, errors.CureSheetMissing),
        ({"milestones": {"sandable": "8 h"}}, errors.CureSheetInconsistent),
        ({"mix": {"kind": "two_part", "parts": [2, 1], "by": "mass"}}, errors.Refusal),
        ({"second_depth": {"depth": "2 mm", "time": "24 h", "temperature": "22 degC",
                           "humidity_percent": 50}}, errors.CureSheetInconsistent),
    ],
)  # fmt: skip
def test_sheets_that_can_t_be(changes: Any, refused: type[Exception]) -> None:
    """A skin without a depth; two clocks at once; two parts; two points at one temperature."""
    with pytest.raises(refused):
        yard.add(products=[makers.sealant("OTHER", cure=makers.moisture_sheet(**changes))])


def test_a_change_of_its_sheet_keeps_the_rest() -> None:
    """A new skin time is a new revision with the same depth."""
    from cureyard_service.acts.products.product import change_product

    changed = change_product(
        finding.product("SEAL"), cure_change={"skin_time": Decimal(1800)}, now=NOW, hand=HAND
    )
    assert changed.cure is not None
    (sheet,) = changed.cure.sheets
    assert (sheet.skin_time, sheet.cures_by) == (1800, "moisture")
    assert sheet.cured_depth is not None
    assert sheet.cured_depth.depth == 3_000
