"""What a row says of a layup's cure agrees with what handing it over asks for."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from cureyard_service.acts.bays import readings as read_bay
from cureyard_service.acts.cure import acceptance, gates, hand_over, watch
from cureyard_service.acts.cure.observe import observe_layup
from cureyard_service.acts.cure.show import LayupView, show_layup
from cureyard_service.acts.wall.calendar import calendar
from cureyard_service.acts.wall.now import what_now
from cureyard_service.acts.yard import finding
from cureyard_service.core import errors
from cureyard_service.core.amounts.hours import opening
from cureyard_service.core.cure import handing_over
from cureyard_service.core.products import hardness
from cureyard_service.store.yard.hands import Hand

from ... import makers
from .. import sample_yard as yard
from ..sample_yard import DAY, MIN, NOW, H

pytestmark = pytest.mark.usefixtures("books")

LEAD = Hand("Rui", verified=True, role="lead")
WEEK = NOW - 7 * DAY
GOOD, SOFT = [46] * 10, [20] * 10
HEAT = {"from": "55 degC", "to": "65 degC", "time": "15 h"}
"""15 h at 60 ± 5 °C: a composite light-aircraft maintenance manual of 2013, maker withheld."""


def laid(job: str = "S-1", at: int = WEEK, **sheet: Any) -> int:
    """A layup of a week ago, under film, whose sheet asks for Barcol 45."""
    times = makers.sheet()["milestones"] | {"full_cure": "36 h"}
    facts = {"hardness_min": 45, "milestones": times} | sheet
    yard.revise("LAM", makers.sheet(**facts), now=WEEK - DAY)
    asked = {"product": "LAM", "catalyst_percent": Decimal(2), "cover": "film"}
    return int(yard.laid(job=job, now=at, **asked).id)


def see(layup: int, kind: str, at: int = NOW, **facts: Any) -> LayupView:
    """A hand's word on it."""
    return observe_layup(finding.layup(layup), kind=kind, now=at, hand=LEAD, **facts)


def look(layup: int, now: int = NOW) -> LayupView:
    """A layup as it stands at a moment."""
    return show_layup(watch.watch(finding.layup(layup), now))


def warm(since: int, until: int, celsius: int = 60) -> None:
    """The shed's logger in a post-cure, read each half hour."""
    rows = [
        {"at": at, "temperature": yard.heat(f"{celsius} degC")}
        for at in range(since, until + 1, H // 2)
    ]
    read_bay.read_bay(bay="SHED", readings=rows, now=NOW, hand=LEAD)


@pytest.mark.parametrize("then", [(), ("thumbnail",), ("sanded", "thumbnail")])
def test_a_part_found_too_soft_is_not_called_cured(then: tuple[str, ...]) -> None:
    """46 Barcol, then 20: the last one counts, whatever a nail finds after it."""
    layup = laid()
    see(layup, "hardness", NOW - 2 * H, readings=GOOD)
    assert look(layup).do.words == "may be moved"
    see(layup, "hardness", NOW - H, readings=SOFT)
    for kind in then:
        see(layup, kind, NOW - MIN)
    told = look(layup)
    assert told.do.words == "too soft: ask a lead"
    assert "handling_cure" not in told.state


def test_a_nail_alone_moves_no_structural_part() -> None:
    """Its sheet has a hardness: that is measured. What carries no load may go by the nail."""
    layup, easy = laid(), laid("D-7")
    for each in (layup, easy):
        see(each, "thumbnail")
    assert look(layup).do.words == "measure its hardness"
    assert look(easy).do.words == "may be moved"


@pytest.mark.parametrize(
    "facts", [{"readings": GOOD, "face": "gel_coat"}, {"value": 46}, {"readings": [30] * 10}]
)
def test_what_was_found_too_soft_stays_so_until_that_is_disproved(facts: dict[str, Any]) -> None:
    """Not by gel coat, by one value, or by less than is needed; by ten readings of the laminate."""
    layup = laid()
    see(layup, "hardness", NOW - 3 * H, readings=SOFT)
    told = see(layup, "hardness", NOW - 2 * H, **facts)
    assert told.do.words == "too soft: ask a lead"
    with pytest.raises(errors.NotCured, match="was measured"):
        see(layup, "handed_over", NOW - H)
    assert see(layup, "hardness", NOW, readings=GOOD).do.words == "may be moved"


@pytest.mark.parametrize("facts", [{"readings": GOOD, "face": "gel_coat"}, {"value": 46}])
@pytest.mark.parametrize("job", ["S-1", "D-7"])
def test_soft_after_it_left_it_stays_trouble_until_that_is_disproved(
    job: str, facts: dict[str, Any]
) -> None:
    """What carries no load is disproved by one value of its own."""
    layup = laid(job)
    see(layup, "hardness", NOW - 5 * H, readings=GOOD)
    see(layup, "handed_over", NOW - 4 * H)
    see(layup, "hardness", NOW - 3 * H, readings=SOFT)
    see(layup, "hardness", NOW - 2 * H, **facts)
    shown = layup in {each.id for each in what_now(NOW).layups}
    assert shown == (job == "S-1" or "face" in facts)
    (stands,) = acceptance.of_layups([watch.watch(finding.layup(layup), NOW)], NOW)
    assert stands.accepted != shown


def verdict(job: str) -> str:
    """How the gate of hardness stands."""
    judged = gates.show_gates(finding.job(job), NOW).gates
    return next(each.verdict for each in judged if each.gate == "hard-enough")


@pytest.mark.parametrize("least", [None, 45])
@pytest.mark.parametrize(("readings", "goes"), [(GOOD, True), (SOFT, False)])
def test_the_gate_and_the_act_go_by_the_same_least(
    readings: list[int], goes: bool, least: int | None
) -> None:
    """The sheet's own, one that a newer sheet has, or a hull's 40 of polyester."""
    layup = laid(hardness_min=None)
    if least is not None:
        yard.revise("LAM", makers.sheet(hardness_min=least), now=NOW - DAY)
    see(layup, "hardness", NOW - H, readings=readings, met=list(hardness.CONDITIONS))
    assert verdict("S-1") == ("pass" if goes else "caution")
    assert (handing_over.missing(hand_over.state_of(finding.layup(layup), NOW, NOW)) == []) == goes


STORIES: list[list[tuple[str, dict[str, Any]]]] = [
    [],
    [("thumbnail", {})],
    [("hardness", {"readings": GOOD})],
    [("hardness", {"readings": SOFT})],
    [("hardness", {"readings": SOFT}), ("thumbnail", {})],
    [("hardness", {"readings": SOFT}), ("hardness", {"readings": GOOD})],
    [("hardness", {"readings": GOOD, "face": "gel_coat"})],
    [("solvent_wipe", {})],
    [("sanded", {})],
]


@pytest.mark.parametrize("job", ["S-1", "D-7"])
@pytest.mark.parametrize("sheet", [{}, {"post_cure": HEAT}], ids=["plain", "post-cured"])
@pytest.mark.parametrize("story", STORIES)
def test_what_may_be_moved_can_be_handed_over(
    story: list[tuple[str, dict[str, Any]]], sheet: dict[str, Any], job: str
) -> None:
    """No row promises what the act would refuse, and none calls cured what is known to be soft."""
    layup = laid(job, **sheet)
    for place, (kind, facts) in enumerate(story):
        see(layup, kind, NOW - (len(story) - place) * H, **facts)
    lacks = handing_over.missing(hand_over.state_of(finding.layup(layup), NOW, NOW))
    told = look(layup)
    assert lacks == [] or told.do.words != "may be moved"
    if "soft" in told.do.words:
        assert any("was measured" in str(word) for word in lacks)


def test_a_post_cure_under_way_says_until_when() -> None:
    """11.5 of 15 h: 3.5 h more, in its row and in the calendar; no longer once it is read cold."""
    layup = laid(at=NOW - 2 * DAY, post_cure=HEAT)
    warm(NOW - 23 * H // 2, NOW)
    told, until = look(layup), opening(NOW + 7 * H // 2)
    assert (told.do.words, told.do.at) == ("heat until", until)
    (row,) = [each for each in what_now(NOW).layups if each.id == layup]
    assert (row.do.words, row.do.at) == ("heat until", until)
    events = [each for each in calendar(NOW).events if each.name == "post_cured"]
    assert [each.at for each in events] == [until]
    assert look(layup, NOW + 3 * H).do.words == "read its probes"
    assert not [each for each in calendar(NOW + 3 * H).events if each.name == "post_cured"]


@pytest.mark.parametrize(
    ("celsius", "words", "urgency"),
    [
        (75, "too hot: turn it down", "trouble"), (50, "post-cure: heat it on", "wanted"),
        (60, "heat until", "later"),
    ],
)  # fmt: skip
def test_the_oven_as_it_is_now(celsius: int, words: str, urgency: str) -> None:
    """Over the band nobody is told to heat on; two hours later nobody knows."""
    layup = laid(at=NOW - 2 * DAY, post_cure=HEAT)
    warm(NOW - 8 * H, NOW - 3 * H)
    warm(NOW - 2 * H, NOW, celsius)
    told = look(layup).do
    assert (told.words, told.urgency) == (words, urgency)
    assert look(layup, NOW + 3 * H).do.words == "read its probes"


def test_what_is_withheld_is_in_no_calendar() -> None:
    """Nor among its times: a clock does not know what was measured."""
    layup = laid()
    see(layup, "hardness", NOW - H, readings=SOFT)
    assert look(layup).milestones.full_cure.at is None
    names = {each.name for each in calendar(NOW, everything=True).events if not each.cancelled}
    assert "full_cure" not in names


def test_a_post_cure_that_nobody_began_is_asked_for() -> None:
    """The clock's full cure is not the sheet's: structural work has its heat first."""
    layup = laid(post_cure=HEAT)
    told = look(layup)
    assert told.do.words == "post-cure it"
    assert "handling_cure" not in told.state
    see(layup, "hardness", readings=GOOD)
    assert look(layup).do.words == "may be moved"


def test_found_soft_after_it_was_handed_over_it_is_trouble() -> None:
    """In `now` until a hardness is enough again, or it is scraped off."""
    layup = laid()
    see(layup, "hardness", NOW - 3 * H, readings=GOOD)
    see(layup, "handed_over", NOW - 2 * H)
    assert layup not in {each.id for each in what_now(NOW - H).layups}
    told = see(layup, "hardness", NOW - H, readings=SOFT)
    assert told.do.words == "too soft: do not load it"
    assert told.next.action == "probe"
    assert "not to be loaded" in str(told.next.text)
    (row,) = [each for each in what_now(NOW - H).layups if each.id == layup]
    assert (row.do.urgency, "unsettled" in row.state) == ("trouble", True)
    see(layup, "hardness", NOW, readings=GOOD)
    assert layup not in {each.id for each in what_now(NOW).layups}
    assert look(layup).state == ["finished"]
