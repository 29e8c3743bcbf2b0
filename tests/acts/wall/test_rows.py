"""A row of the wall: one state, one thing to do, its hour on the safe side, its place."""

from __future__ import annotations

from datetime import time
from decimal import Decimal
from typing import Any

import pytest
from cureyard_service.acts.cure.do import DoView
from cureyard_service.acts.cure.observe import observe_layup
from cureyard_service.acts.plan import job_plan
from cureyard_service.acts.plan.chain import WEEKDAYS
from cureyard_service.acts.pots import unlaid
from cureyard_service.acts.wall import wall
from cureyard_service.acts.wall.rows import RowView
from cureyard_service.acts.yard import finding

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
    assert row(layup, int(touch.closes + H)).do.urgency == "no_hurry"


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
    assert told.do.words in ("touch it: gelled?", "do not cover: ask a lead", "leave until")


@pytest.mark.parametrize(
    ("before_s", "near", "group"),
    [
        (130 * MIN, "", "later"), (66 * MIN, "", "later"), (60 * MIN, "hour", "ending"),
        (26 * MIN, "hour", "ending"), (20 * MIN, "minutes", "ending"),
        (5 * MIN, "minutes", "ending"),
    ],
)  # fmt: skip
def test_a_deadline_stands_out_by_the_hour_that_is_shown(
    before_s: int, near: str, group: str
) -> None:
    """Boxed for an hour, a flag for its last twenty minutes."""
    layup = laid(5)
    shown = closes(layup) // 300 * 300
    do = row(layup, shown - before_s).do
    assert (do.near, do.urgency) == (near, group)
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
    (late,) = unlaid.pots(int(told.pot.work_until) + 1)
    assert (late.do.words, late.do.at) == ("spread no more", None)
    (over,) = unlaid.pots(int(told.pot.gel_at_latest) + 1)
    assert over.do == DoView("note: laid or lost?", "wanted")
    assert told.pot.id == pot.id


def test_trouble_says_who_is_asked() -> None:
    """A lead; of what stalls in the cold, which bay to heat."""
    late, cold = laid(1), laid(20, bay="BARN")
    seen(late, "not_gelled")
    assert row(late).do == DoView("do not cover: ask a lead", "trouble")
    assert row(cold).do == DoView("heat BARN now", "trouble")


def test_what_has_no_hurry_comes_last() -> None:
    """Past its window and tacky: strip, then grind; sanded already: cover it the same day."""
    past, abraded = laid(30), laid(31)
    seen(abraded, "gelled", NOW - 28 * H)
    assert row(past).do == DoView("strip, then grind", "no_hurry", note="sanded")
    seen(abraded, "sanded")
    assert row(abraded).do == DoView("cover it today", "wanted")


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
        "recoat_touch", DoView(f"glove and {words}", "wanted", note="no_transfer"),
    )  # fmt: skip
