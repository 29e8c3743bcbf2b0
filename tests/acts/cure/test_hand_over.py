"""Handing over: hard, and structural work by a lead with a hardness or the post-cure on record."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from cureyard_service.acts.bays import bay
from cureyard_service.acts.bays import readings as read_bay
from cureyard_service.acts.cure import gates, probes, watch
from cureyard_service.acts.cure.observe import observe_layup
from cureyard_service.acts.cure.show import LayupView, show_layup
from cureyard_service.acts.cure.take_back import take_back_seen
from cureyard_service.acts.jobs.sign import open_items
from cureyard_service.acts.yard import finding, settings
from cureyard_service.core import errors
from cureyard_service.core.products.hardness import CONDITIONS
from cureyard_service.core.words import shown
from cureyard_service.store.yard.hands import Hand
from peewee import Database

from ... import makers
from ...putting import by_acts
from .. import sample_yard as yard
from ..sample_yard import DAY, HAND, MIN, NOW, H

pytestmark = pytest.mark.usefixtures("books")

RUI = Hand("Rui", verified=True)
WEEK = NOW - 7 * DAY
LEAVE = {"reason": "surveyor's tap test"}
HEAT = {"from": "55 degC", "to": "65 degC", "time": "15 h"}
"""15 h at 60 ± 5 °C: a composite light-aircraft maintenance manual of 2013, maker withheld."""


def laid(job: str = "S-1", at: int = WEEK, **sheet: Any) -> int:
    """A layup, by a sheet with these figures besides."""
    if sheet:
        yard.revise("LAM", makers.sheet(**sheet), now=WEEK - DAY)
    told = yard.laid(product="LAM", catalyst_percent=Decimal(2), job=job, now=at)
    return int(told.id)


def seen(layup: int, kind: str, at: int = NOW, **facts: Any) -> LayupView:
    """An observation."""
    when = facts.pop("when", None)
    asked = {"now": at, "hand": HAND, "at": when} | facts
    return observe_layup(finding.layup(layup), kind=kind, **asked)


def heated(start: int, hours: float) -> None:
    """The shed's logger: 60 °C for so many hours, cold at both ends; a reading every half hour."""
    length = round(hours * H)
    ticks = [*range(0, length, H // 2), length]
    warm = [{"at": start + t, "temperature": yard.heat("60 degC")} for t in ticks]
    cold = [
        {"at": at, "temperature": yard.heat("20 degC")} for at in (start - 1, start + length + 1)
    ]
    read_bay.read_bay(bay="SHED", readings=[*cold, *warm], now=NOW, hand=HAND)


def missing(layup: int, books: Database, **facts: Any) -> str:
    """What a handing over is refused for; nothing is written."""
    before = yard.contents(books)
    with pytest.raises(errors.NotCured) as refused:
        seen(layup, "handed_over", **facts)
    assert yard.contents(books) == before
    assert refused.value.fields["layup"] == layup
    return shown(refused.value.detail, "metric")


def test_what_is_not_hard_stays(books: Database) -> None:
    """Five hours old and not structural: by a nail it goes, by its clock tomorrow."""
    layup = laid("D-7", NOW - 5 * H)
    assert "not hard yet" in missing(layup, books, hand=RUI)
    seen(layup, "thumbnail", at=NOW + MIN)
    assert seen(layup, "handed_over", at=NOW + MIN, hand=RUI).state == ["finished"]
    assert seen(laid("D-7", NOW - 2 * DAY), "handed_over", hand=RUI).closed_at == NOW
    assert yard.overrides() == []


def test_what_a_hand_found_wet_is_not_hard_by_any_clock(books: Database) -> None:
    """A nail before it counts no more; a nail after it does."""
    layup = laid("D-7")
    seen(layup, "thumbnail", at=WEEK + 2 * DAY)
    seen(layup, "not_gelled", at=NOW - H)
    assert "not hard yet" in missing(layup, books)
    seen(layup, "thumbnail")
    seen(layup, "handed_over")


def test_structure_goes_by_a_lead(books: Database) -> None:
    """A hand is refused, whatever the hardness; also where nobody said whether it carries load."""
    by_acts(WEEK, HAND, jobs=[makers.job("U-1", "unknown")])
    for job in ("S-1", "U-1"):
        layup = laid(job)
        seen(layup, "hardness", readings=[41] * 10)
        before = yard.contents(books)
        with pytest.raises(errors.NotAllowed, match="structural work needs a lead"):
            seen(layup, "handed_over", hand=RUI, override=LEAVE)
        assert yard.contents(books) == before
        assert seen(layup, "handed_over").closed_at == NOW


@pytest.mark.parametrize(
    ("hardness_min", "barcol", "goes"),
    [(45, 41, True), (45, 40, False), (None, 40, True), (None, 39, False)],
)
def test_by_ninety_percent_of_the_makers_least(
    books: Database, hardness_min: int | None, barcol: int, goes: bool
) -> None:
    """ASTM C582, from memory: of 45 it is 40.5. Without the maker's, a hull's 40 (class rules)."""
    layup = laid(**({} if hardness_min is None else {"hardness_min": hardness_min}))
    word = "no hardness on record" if hardness_min else "its sheet gives no hardness"
    assert word in missing(layup, books)
    seen(layup, "hardness", readings=[barcol] * 10)
    if goes:
        seen(layup, "handed_over")
    else:
        assert f"{barcol}.0 Barcol 934-1 was measured" in missing(layup, books)


def test_one_value_accepts_no_structural_part(books: Database) -> None:
    """ASTM D2583 asks for several readings: one value shows only that a part is too soft."""
    layup = laid(hardness_min=45)
    told = seen(layup, "hardness", value=41, met=list(CONDITIONS))
    assert any("One value proves no structural work" in str(word) for word in told.warnings)
    assert "a hardness of one value alone on record" in missing(layup, books)
    job = finding.job("S-1")
    judged = {each.rule.gate: each for each in gates.judge(job, NOW, bay="SHED")}
    assert (judged["hard-enough"].verdict, judged["hard-enough"].found) == (
        "caution", "Plies: 41.0 Barcol 934-1, at least 40.5 is needed. It is one value.",
    )  # fmt: skip
    assert f"acceptance:{layup}" in [each.item for each in open_items(job, NOW)]
    seen(layup, "hardness", readings=[41] * 10, met=list(CONDITIONS))
    judged = {each.rule.gate: each for each in gates.judge(job, NOW, bay="SHED")}
    assert judged["hard-enough"].verdict == "pass"
    seen(layup, "handed_over")


def test_one_value_is_enough_where_nothing_is_carried() -> None:
    """Of a job that is not structural."""
    layup = laid("D-7", hardness_min=45)
    assert not seen(layup, "hardness", value=41, met=list(CONDITIONS)).warnings
    judged = {each.rule.gate: each for each in gates.judge(finding.job("D-7"), NOW, bay="SHED")}
    assert judged["hard-enough"].verdict == "pass"


def test_the_makers_least_may_be_entered_late(books: Database) -> None:
    """A layup keeps its sheet; where that names none, the pair's sheet of now is asked."""
    layup = laid()
    yard.revise("LAM", makers.sheet(hardness_min=50))
    assert "at least 45.0 Barcol 934-1" in missing(layup, books)


@pytest.mark.parametrize(
    ("heats", "goes"), [((7, 8), True), ((15,), True), ((14 + 59 / 60,), False)]
)
def test_by_the_post_cure(books: Database, heats: tuple[float, ...], goes: bool) -> None:
    """The manual of 2013: 7 h and 8 h pass, 14 h 59 min fail; from the bay's readings."""
    layup = laid(post_cure=HEAT)
    assert seen(layup, "thumbnail", at=WEEK + DAY).post_cure.measured == 0
    for number, hours in enumerate(heats):
        heated(WEEK + (number + 2) * DAY, hours)
    told = show_layup(watch.watch(finding.layup(layup), NOW)).post_cure
    assert told.measured == pytest.approx(sum(heats) * H, abs=1)
    assert told.done == goes
    judged = {each.rule.gate: each for each in gates.judge(finding.job("S-1"), NOW, bay="SHED")}
    assert (judged["hard-enough"].verdict == "pass") == goes
    if goes:
        assert seen(layup, "handed_over").closed_at == NOW
    else:
        assert "post-cure 14.9 h of 15 h" in missing(layup, books)
        assert "14.9 h of 15 h" in shown(judged["hard-enough"].found, "metric")


def test_heat_before_it_was_laid_or_after_it_left_is_not_its_own() -> None:
    """The bay is hot for others too."""
    layup = laid("D-7", at=WEEK, post_cure=HEAT)
    heated(WEEK - DAY, 10)
    heated(WEEK + 3 * DAY, 8)
    seen(layup, "handed_over", at=WEEK + 3 * DAY + 5 * H)
    shown = show_layup(watch.watch(finding.layup(layup), NOW))
    assert shown.post_cure.measured == pytest.approx(5 * H, abs=1)


def test_an_override_says_what_was_missing() -> None:
    """Where nobody has a login the named hand answers for it; the logbook has both."""
    layup = laid()
    told = seen(layup, "handed_over", override=LEAVE)
    assert told.closed_at == NOW
    (row,) = yard.overrides()
    assert (row.slug, row.reason, row.layup_id, row.job.number, row.who) == (
        "not-cured", LEAVE["reason"], layup, "S-1", "Ines",
    )  # fmt: skip


def test_a_hand_overrides_no_soft_layup(books: Database) -> None:
    """Not structural, and not hard: that takes a lead as well."""
    layup = laid("D-7", NOW - 5 * H)
    before = yard.contents(books)
    with pytest.raises(errors.NotAllowed):
        seen(layup, "handed_over", hand=RUI, override=LEAVE)
    assert yard.contents(books) == before


def test_a_reading_of_nothing_is_no_hardness(books: Database) -> None:
    """Half of what is asked at least, also of an epoxy whose least nobody knows."""
    layup = int(yard.laid(product="EPOX", job="D-7", now=NOW).id)
    for value in (0, 1, 19):
        seen(layup, "hardness", at=NOW + MIN, value=value)
        assert "not hard yet" in missing(layup, books, at=NOW + MIN)
    seen(layup, "hardness", at=NOW + 2 * MIN, value=20)
    assert "not hard yet" in missing(layup, books, at=NOW + 2 * MIN)
    seen(layup, "hardness", at=NOW + 3 * MIN, value=20)  # so early it is asked again
    seen(layup, "handed_over", at=NOW + 3 * MIN)


@pytest.mark.parametrize("later", [("hardness", {"value": 3}), ("not_gelled", {})])
def test_what_was_found_soft_later_was_soft_then(
    later: tuple[str, dict[str, int]], books: Database
) -> None:
    """A handing over that is dated back does not pass over it."""
    layup = laid("D-7")
    seen(layup, "hardness", at=NOW - H, value=60)
    seen(layup, later[0], at=NOW - 10 * MIN, **later[1])
    before = yard.contents(books)
    with pytest.raises(errors.NotCured):
        seen(layup, "handed_over", at=NOW, when=NOW - 30 * MIN)
    assert yard.contents(books) == before


def test_what_it_was_handed_over_on_is_not_taken_back(books: Database) -> None:
    """First the handing over is taken back, then the hardness."""
    layup = laid()
    hardness = seen(layup, "hardness", readings=[60] * 10).observations[-1].id
    over = seen(layup, "handed_over").observations[-1].id
    row = finding.layup(layup)
    slip = {"reason": "another part", "now": NOW + MIN, "hand": HAND}
    before = yard.contents(books)
    with pytest.raises(errors.Invalid, match="on the ground of its observations"):
        take_back_seen(row, hardness, **slip)
    assert yard.contents(books) == before
    take_back_seen(row, over, **slip)
    assert "finished" not in take_back_seen(finding.layup(layup), hardness, **slip).state


def test_a_soft_reading_after_it_left_is_told() -> None:
    """The part is gone: whoever has it must know."""
    layup = laid()
    seen(layup, "hardness", readings=[60] * 10)
    assert not seen(layup, "handed_over").warnings
    (word, *_) = seen(layup, "hardness", value=10).warnings
    assert "handed over: tell whoever has it" in word


MADE = [38, 41, 44, 40, 36, 43, 45, 39, 42, 37]
"""40.5 ± 0.957, where 90 % of 45 is 40.5."""


def test_a_figure_within_one_u_is_told() -> None:
    """It goes, by a lead, and whoever notes it is asked for more readings."""
    layup = laid(hardness_min=45)
    told = seen(layup, "hardness", readings=MADE)
    assert any("Take more readings" in shown(word, "metric") for word in told.warnings)
    (noted,) = told.observations
    assert (noted.figure, noted.figure_u, noted.scale) == (40.5, 0.957, "barcol_934_1")
    judged = {each.rule.gate: each for each in gates.judge(finding.job("S-1"), NOW, bay="SHED")}
    assert judged["hard-enough"].verdict == "caution"
    seen(layup, "handed_over")


def test_a_scale_unlike_the_sheets_is_refused(books: Database) -> None:
    """And where the sheet names none, a reading of another scale proves nothing by itself."""
    layup = laid(hardness_min=80, hardness_scale="shore_d")
    before = yard.contents(books)
    with pytest.raises(errors.Invalid, match="unlike scales"):
        seen(layup, "hardness", value=50, scale="barcol_934_1")
    assert yard.contents(books) == before
    assert seen(layup, "hardness", readings=[75] * 10).observations[0].scale == "shore_d"
    seen(layup, "handed_over")
    yard.revise("LAM", makers.sheet(), now=NOW - DAY)
    bare = int(yard.laid(product="LAM", catalyst_percent=Decimal(2), job="S-1", now=WEEK).id)
    seen(bare, "hardness", value=90, scale="barcol_935")
    assert "its sheet gives no hardness" in missing(bare, books)


def test_solvent_where_the_sheet_gives_no_hardness(books: Database) -> None:
    """A lead signs it off after a wipe; with a least on the sheet a wipe is not enough."""
    layup = laid()
    seen(layup, "solvent_wipe", at=NOW - H)
    seen(layup, "handed_over")
    asked = laid(hardness_min=45)
    seen(asked, "solvent_wipe", at=NOW - H)
    assert "no hardness on record" in missing(asked, books)


def probed(layup: int, *bays: str, on_part: bool = True) -> LayupView:
    """A layup with these bays as its probes."""
    row = finding.layup(layup)
    return probes.add_probes(row, bays=list(bays), on_part=on_part, now=NOW, hand=HAND)


def told_by(bay: str, start: int, hours: float, celsius: float) -> None:
    """A probe's log: so warm for so many hours, read every half hour."""
    ticks = range(0, round(hours * H) + 1, H // 2)
    rows = [{"at": start + t, "temperature": yard.heat(f"{celsius} degC")} for t in ticks]
    read_bay.read_bay(bay=bay, readings=rows, now=NOW, hand=HAND)


def test_the_coolest_of_the_probes_counts(books: Database) -> None:
    """The shed was at 60 °C for 15 h, the probe on the keel for 14: that is short."""
    layup = laid(post_cure=HEAT)
    heated(WEEK + 2 * DAY, 15)
    told_by("TENT", WEEK + 2 * DAY, 15, 60)
    told_by("BARN", WEEK + 2 * DAY + H, 14, 60)
    assert probed(layup, "TENT").post_cure.measured == pytest.approx(15 * H, abs=1)
    told = probed(layup, "BARN").post_cure
    assert told.measured == pytest.approx(14 * H, abs=1)
    assert [each.bay for each in told.probes] == ["TENT", "BARN"]
    assert "post-cure 14 h of 15 h" in missing(layup, books)
    slip = {"reason": "the other part", "now": NOW, "hand": HAND}
    back = probes.take_back_probe(finding.layup(layup), told.probes[1].id, **slip)
    assert back.post_cure.done
    with pytest.raises(errors.AlreadyExists):
        probes.take_back_probe(finding.layup(layup), told.probes[1].id, **slip)
    seen(layup, "handed_over")
    with pytest.raises(errors.Invalid, match="handed over"):
        probes.take_back_probe(finding.layup(layup), told.probes[0].id, **slip)


def test_probes_that_can_not_be(books: Database) -> None:
    """Twice the same, no such bay, of a layup of another: nothing is written."""
    layup, other = laid(post_cure=HEAT), laid()
    first = probed(layup, "TENT").post_cure.probes[0].id
    before = yard.contents(books)
    with pytest.raises(errors.AlreadyExists, match="TENT is a probe"):
        probed(layup, "BARN", "tent")
    with pytest.raises(errors.UnknownReference):
        probed(layup, "NOWHERE")
    with pytest.raises(errors.NotFound, match="no probe"):
        probes.take_back_probe(finding.layup(other), first, reason="a slip", now=NOW, hand=HAND)
    assert yard.contents(books) == before


def test_class_takes_a_heat_by_checked_probes_on_the_part_alone(books: Database) -> None:
    """Lloyd's Register, Rules for the Manufacture, Testing and Certification of Materials, July
    2022, Ch 14 Sec 5.3.9 and 5.3.10: the bay's own air was enough by plain good practice.
    """
    layup = laid(post_cure=HEAT)
    heated(WEEK + 2 * DAY, 16)
    told_by("TENT", WEEK + 2 * DAY, 16, 60)
    settings.change_yard(profile="class", now=NOW, hand=HAND)
    assert "not told by probes on the part" in missing(layup, books)
    probed(layup, "TENT")
    assert "nobody checked these probes within 365 days: TENT" in missing(layup, books)
    tent = finding.bay("TENT")
    bay.change_bay(tent, checked_on=yard.day(-30), now=NOW, hand=HAND)
    seen(layup, "handed_over")


def test_paint_before_the_heat_is_told() -> None:
    """The heat would move fairing and paint; after it nothing is said."""
    layup = laid(post_cure=HEAT)
    coat = {"product": "LAM", "catalyst_percent": Decimal(2), "kind": "coat", "over": layup}
    told = yard.laid(job="S-1", now=WEEK + 5 * H, **coat)
    assert any("before fairing and paint" in shown(word, "metric") for word in told.warnings)
    warm = laid(post_cure=HEAT)
    heated(WEEK + 2 * DAY, 15)
    after = yard.laid(job="S-1", now=WEEK + 4 * DAY, **(coat | {"over": warm}))
    assert not any("fairing" in shown(word, "metric") for word in after.warnings)


def test_a_hardness_that_is_asked_again_hands_nothing_over(books: Database) -> None:
    """Nine minutes after it was laid a Barcol of 47 is of another part."""
    layup = laid("S-1", NOW, hardness_min=45)
    told = seen(layup, "hardness", at=NOW + 9 * MIN, value=47)
    assert any("counts for nothing yet" in shown(words, "metric") for words in told.warnings)
    assert "not hard yet" in missing(layup, books, at=NOW + 10 * MIN)


def test_a_hardness_of_the_gel_coat_hands_nothing_over(books: Database) -> None:
    """Of the laminate it says nothing."""
    layup = laid("S-1", hardness_min=45)
    seen(layup, "hardness", readings=[46] * 9 + [47], face="gel_coat")
    assert "of its gel coat alone" in missing(layup, books)
    seen(layup, "hardness", readings=[46] * 9 + [47], face="laminate", when=NOW - MIN)
