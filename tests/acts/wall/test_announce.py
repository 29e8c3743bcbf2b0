"""What is announced: each turn once, when it comes, and the rest to whoever comes back."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from cureyard_service.acts.bays import readings as read_bay
from cureyard_service.acts.cure import watch
from cureyard_service.acts.cure.observe import observe_layup
from cureyard_service.acts.wall import announce
from cureyard_service.acts.wall.announce import Lookout
from cureyard_service.acts.yard import finding
from cureyard_service.core.cure.turns import turns
from cureyard_service.store import tables

from .. import sample_yard as yard
from ..sample_yard import HAND, MIN, NOW, H

pytestmark = pytest.mark.usefixtures("books")

DAYS_TURNS = [
    "gel", "trim", "recoat_opens", "sandable", "recoat_closing", "recoat_closes",
]  # fmt: skip


def laid(at: int = NOW, **facts: Any) -> int:
    """A layup just laid."""
    asked = {"product": "LAM", "catalyst_percent": Decimal(2), "cover": "film"} | facts
    return yard.laid(now=at, **asked).id


def heard(last: int) -> list[tuple[int, str]]:
    """Which turns of which layups were told after the one with that id."""
    return [(each.layup, each.milestone) for each in announce.told_after(last)]


def test_each_as_it_comes_and_once() -> None:
    """A day watched every ten minutes: in order, none before its moment, none twice."""
    number, lookout = laid(), Lookout()
    for minutes in range(0, 24 * 60, 10):
        before, now = announce.last_told(), NOW + minutes * MIN
        lookout.tell(now=now, hand=HAND)
        for each in announce.told_after(before):
            assert now - 10 * MIN < each.at <= now
    assert heard(0) == [(number, name) for name in DAYS_TURNS]
    Lookout().tell(now=NOW + 48 * H, hand=HAND)
    assert heard(0) == [(number, name) for name in DAYS_TURNS]


def test_two_who_look_out_ring_once() -> None:
    """Each turn has one number, whichever server of the store saw it first."""
    one, other, number = Lookout(), Lookout(), laid()
    one.tell(now=NOW, hand=HAND)
    other.tell(now=NOW, hand=HAND)
    other.tell(now=NOW + 24 * H, hand=HAND)
    one.tell(now=NOW + 24 * H, hand=HAND)
    assert heard(0) == [(number, name) for name in DAYS_TURNS]


def test_whoever_comes_back_is_told_the_rest() -> None:
    """From any of them on: what came after it, and no more."""
    laid()
    Lookout().tell(now=NOW + 24 * H, hand=HAND)
    whole = announce.told_after(0)
    for place, each in enumerate(whole):
        assert announce.told_after(each.id) == whole[place + 1 :]


def test_a_plan_that_moved_is_told_at_its_new_moment() -> None:
    """A cold reading comes in: what was to come waits, and is not lost."""
    number, lookout = laid(), Lookout()
    lookout.tell(now=NOW + 30 * MIN, hand=HAND)
    (opens,) = [t.at for t in turns_of(number, NOW) if t.name == "recoat_opens"]
    cold = [{"at": NOW + H, "temperature": Decimal("283.15")}]
    read_bay.read_bay(bay="SHED", readings=cold, now=NOW + H, hand=HAND)
    (later,) = [t.at for t in turns_of(number, NOW + H) if t.name == "recoat_opens"]
    assert later > opens
    lookout.tell(now=opens, hand=HAND)
    assert (number, "recoat_opens") not in heard(0)
    lookout.tell(now=later, hand=HAND)
    assert heard(0)[-1] == (number, "recoat_opens")


def turns_of(number: int, now: int) -> list[Any]:
    """A layup's, as of a moment."""
    watched = watch.watch(finding.layup(number), now)
    return turns(watched.found, watched.cold_from)


def test_what_was_over_when_it_was_recorded_is_no_news() -> None:
    """Yesterday's layup, typed in today: no bell rings for yesterday. The cold still counts."""
    number = laid(NOW + 9 * H, applied_at=NOW)
    cold = laid(NOW, bay="BARN")
    Lookout().tell(now=NOW + 24 * H, hand=HAND)
    assert (cold, "heat") in heard(0)
    told = [name for layup, name in heard(0) if layup == number]
    assert told == DAYS_TURNS[-len(told) :]
    assert 0 < len(told) < len(DAYS_TURNS)


def test_what_is_covered_rings_no_more() -> None:
    """A hand's word ends the watch, and whoever looks out sees it."""
    number, lookout = laid(), Lookout()
    lookout.tell(now=NOW + H, hand=HAND)
    observe_layup(finding.layup(number), kind="covered", now=NOW + 2 * H, hand=HAND)
    lookout.tell(now=NOW + 24 * H, hand=HAND)
    assert heard(0) == [(number, "gel"), (number, "trim")]


def test_who_was_told_first_is_recorded() -> None:
    """As with every row."""
    laid()
    Lookout().tell(now=NOW + 30 * MIN, hand=HAND)
    (row,) = tables.Reached.select()
    assert (row.who, row.recorded_at) == ("Ines", NOW + 30 * MIN)
    assert row.at <= NOW + 30 * MIN
