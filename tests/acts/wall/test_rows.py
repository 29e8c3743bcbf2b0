"""A row of the wall: one state, one thing to do, its hour on the safe side, its place."""

from __future__ import annotations

from datetime import time
from decimal import Decimal
from typing import Any

import pytest
from cureyard_service.acts.cure.observe import observe_layup
from cureyard_service.acts.plan import job_plan
from cureyard_service.acts.plan.chain import WEEKDAYS
from cureyard_service.acts.wall import hours, rows, wall
from cureyard_service.acts.wall.rows import RowView
from cureyard_service.acts.yard import finding
from hypothesis import given
from hypothesis import strategies as st

from ... import makers
from .. import sample_yard as yard
from ..sample_yard import HAND, NOW, H

pytestmark = pytest.mark.usefixtures("books")
MIN = 60


def laid(hours_ago: float, **facts: Any) -> int:
    """A layup of the laminating resin that went on so many hours ago."""
    at = int(NOW - hours_ago * H)
    asked = {"product": "LAM", "catalyst_percent": Decimal(2), "now": at} | facts
    return yard.laid(**asked).id


def row(layup: int, now: int = NOW) -> RowView:
    """The row of a layup."""
    found = (each for each in wall.wall(now).rows if each.layup and each.layup.id == layup)
    return next(found)


def seen(layup: int, kind: str, at: int = NOW) -> None:
    """What a hand saw of it."""
    observe_layup(finding.layup(layup), kind=kind, at=at, now=max(at, NOW), hand=HAND)


def closes(layup: int) -> int:
    """When its sure window ends."""
    return int(wall.layup_page(finding.layup(layup), NOW).window.closes)


@given(moment=st.integers(NOW, NOW + 6 * H))
def test_an_hour_is_on_the_safe_side_and_steady_near_its_end(moment: int) -> None:
    """Never later than an end nor earlier than a beginning; throughout the last hour an end that is
    shown moves no more."""
    shown = [hours.closing(moment, now) for now in range(NOW, moment, 5 * MIN)]
    assert all(moment - 15 * MIN < hour <= moment for hour in shown)
    last = [hour for hour, now in zip(shown, range(NOW, moment, 5 * MIN), strict=True)
            if hour - now <= H]  # fmt: skip
    assert len(set(last)) <= 1
    assert 0 <= hours.opening(moment, NOW) - moment < 15 * MIN


def test_from_wet_to_shut() -> None:
    """Each state has its words; what a hand has seen is told from a forecast."""
    layup = laid(0)
    held = wall.layup_page(finding.layup(layup), NOW)
    gel, window, touch = held.milestones.gel, held.window, held.touch_window
    moments = {
        "wet": (NOW + 60, "leave until"),
        "gelled": (gel.latest + MIN, "touch it: gelled?"),
        "recoat_touch": ((touch.opens + window.opens) / 2, "glove, or from"),
        "recoat_open": ((window.opens + window.closes) / 2, "layer down by"),
    }
    for state, (moment, words) in moments.items():
        told = row(layup, int(moment))
        assert (told.state, told.do.words, told.seen) == (state, words, False), state
    after = row(layup, int((window.closes + touch.closes) / 2))
    assert (after.state, after.do.words, after.do.at) == (
        "recoat_touch",
        "acetone test first",
        None,
    )
    assert row(layup, int(touch.closes + H)).do.group == rows.NO_HURRY


def test_a_hands_word_counts() -> None:
    """Gelled: the next layer from the sure opening. Wet: touch it again."""
    gelled, wet = laid(1), laid(0.6)
    seen(gelled, "gelled")
    told = row(gelled)
    assert (told.state, told.seen, told.do.words) == ("gelled", True, "next layer from")
    assert told.looked == NOW
    seen(wet, "not_gelled")
    told = row(wet)
    assert (told.missed, told.looked) == (NOW, None)
    assert told.do.words in ("touch it: gelled?", "ask a lead now", "leave until")


@pytest.mark.parametrize(
    ("before_s", "near", "group"),
    [
        (130 * MIN, "", rows.REST), (66 * MIN, "", rows.REST), (60 * MIN, "hour", rows.ENDING),
        (26 * MIN, "hour", rows.ENDING), (20 * MIN, "minutes", rows.ENDING),
        (5 * MIN, "minutes", rows.ENDING),
    ],
)  # fmt: skip
def test_a_deadline_stands_out_by_the_hour_that_is_shown(
    before_s: int, near: str, group: int
) -> None:
    """Boxed for an hour, a flag for its last twenty minutes."""
    layup = laid(5)
    shown = closes(layup) // 300 * 300
    do = row(layup, shown - before_s).do
    assert (do.near, do.group) == (near, group)
    if near:
        assert do.at == shown


def test_no_hour_is_shown_that_has_passed() -> None:
    """In the minutes between the hour shown and the end itself a hand must find out."""
    layup = laid(5)
    end = closes(layup)
    do = row(layup, end // 300 * 300).do
    assert (do.words, do.at) == ("acetone test first", None)


def test_a_layer_whose_work_is_planned_is_started_in_time() -> None:
    """A step of two hours is begun two hours before the window ends; later, it must be down."""
    layup = laid(5, title="Inner skin")
    end = closes(layup)
    plan = {
        "steps": [
            {"title": title, "kind": "cure", "product": "LAM", "catalyst_percent": Decimal(2),
             "work": 2.0 * H}
            for title in ("inner skin", "Outer skin")
        ],
        "bay": "SHED",
        "hours": {"begin": time(0), "finish": time(0), "days": list(WEEKDAYS)},
    }  # fmt: skip
    job_plan.keep_plan(finding.job("D-7"), now=NOW, hand=HAND, **plan)
    assert job_plan.next_work([finding.layup(layup)]) == {layup: 2 * H}
    early = row(layup, end - 4 * H).do
    assert early.words == "start by"
    assert end - 2 * H - 15 * MIN < early.at <= end - 2 * H
    late = row(layup, end - H).do
    assert (late.words, late.at) == ("layer down by", end // 300 * 300)


def test_a_pot_is_spread_by_its_working_time() -> None:
    """Then no more of it, and somebody notes what became of it."""
    yard.stocked()
    pot = yard.pot()
    (told,) = (each for each in wall.wall(NOW).rows if each.pot)
    assert (told.state, told.seen, told.do.words) == ("pot", True, "spread by")
    assert told.do.at <= told.pot.work_until
    late = rows.of_pot(told.pot, int(told.pot.work_until) + 1)
    assert (late.do.words, late.do.at) == ("spread no more", None)
    over = rows.of_pot(told.pot, int(told.pot.gel_at_latest) + 1)
    assert over.do == rows.Do("note: laid or lost?", rows.WANTED)
    assert told.pot.id == pot.id


def test_trouble_says_who_is_asked() -> None:
    """A lead; of what stalls in the cold, which bay to heat."""
    late, cold = laid(1), laid(20, bay="BARN")
    seen(late, "not_gelled")
    assert row(late).do == rows.Do("ask a lead now", rows.IN_TROUBLE)
    assert row(cold).do == rows.Do("heat BARN now", rows.IN_TROUBLE)


def test_what_has_no_hurry_comes_last() -> None:
    """Past its window and tacky: strip, then grind; sanded already: cover it the same day."""
    past, abraded = laid(30), laid(31)
    seen(abraded, "gelled", NOW - 28 * H)
    assert row(past).do == rows.Do("strip, then grind", rows.NO_HURRY)
    seen(abraded, "sanded")
    assert row(abraded).do == rows.Do("cover it today", rows.WANTED)


@pytest.mark.parametrize(("surface", "words"), [("plain", "acetone"), ("amine_blush", "nail")])
def test_a_window_of_which_no_moment_is_sure(surface: str, words: str) -> None:
    """It may be too soon or too late: a glove finds out the one, the face's own test the other."""
    times = {"recoat_opens": "2 h", "recoat_closes": "3 h"}
    cure = makers.sheet(milestones=times, surface=surface)
    yard.add(products=[makers.resin("NARROW", cure=cure)])
    layup = laid(0, product="NARROW")
    likely = wall.layup_page(finding.layup(layup), NOW).touch_window
    told = row(layup, int((likely.opens + likely.closes) / 2))
    assert (told.state, told.do) == (
        "recoat_touch", rows.Do(f"glove and {words}", rows.WANTED),
    )  # fmt: skip
