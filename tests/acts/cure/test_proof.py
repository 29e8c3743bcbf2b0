"""What a row says of a layup's cure agrees with what handing it over asks for."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from cureyard_service.acts.bays import readings as read_bay
from cureyard_service.acts.cure import hand_over, watch
from cureyard_service.acts.cure.observe import observe_layup
from cureyard_service.acts.cure.show import LayupView, show_layup
from cureyard_service.acts.wall.calendar import calendar
from cureyard_service.acts.wall.now import what_now
from cureyard_service.acts.yard import finding
from cureyard_service.core.amounts.hours import opening
from cureyard_service.core.cure import handing_over
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


def warm(since: int, until: int) -> None:
    """The shed's logger in a post-cure: 60 °C, read each half hour."""
    rows = [
        {"at": at, "temperature": yard.heat("60 degC")} for at in range(since, until + 1, H // 2)
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
    assert look(layup, NOW + 3 * H).do.words == "post-cure: heat it on"
    assert not [each for each in calendar(NOW + 3 * H).events if each.name == "post_cured"]


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
