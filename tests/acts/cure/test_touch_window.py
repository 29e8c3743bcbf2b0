"""Near the ends of its window a hand finds out whether a face is green."""

from __future__ import annotations

from decimal import Decimal
from math import exp, log
from statistics import NormalDist
from typing import Any

import pytest
from cureyard_service.acts.cure import watch
from cureyard_service.acts.cure.observe import observe_layup
from cureyard_service.acts.cure.show import LayupView, show_layup
from cureyard_service.acts.wall.now import what_now
from cureyard_service.acts.yard import finding

from ... import makers
from .. import by_hand
from .. import sample_yard as yard
from ..sample_yard import HAND, NOW, H

pytestmark = pytest.mark.usefixtures("books")


def ready(**facts: Any) -> int:
    """A layup that opens after 2 h and shuts after 20, at 20 °C; its id."""
    asked = {"product": "LAM", "catalyst_percent": Decimal(2)} | facts
    return int(yard.laid(**asked).id)


def look(layup: int, hours: float) -> LayupView:
    """As it stands so many hours on."""
    return show_layup(watch.watch(finding.layup(layup), int(NOW + hours * H)))


def seen(layup: int, kind: str, hours: float) -> LayupView:
    """What a hand found so many hours on."""
    at = int(NOW + hours * H)
    return observe_layup(finding.layup(layup), kind=kind, now=at, hand=HAND)


@pytest.mark.parametrize(
    ("hours", "sign", "action"),
    [
        (1.5, None, "wait"),
        (2.2, "recoat_touch", "touch"),
        (5, "recoat_open", "coat"),
        (13, "recoat_open", "coat"),
        (16, "recoat_touch", "touch"),
        (21, "recoat_past", "prepare"),
    ],
)
def test_before_and_after_the_sure_window_it_is_touched(
    hours: float, sign: str | None, action: str
) -> None:
    """From its likely opening to its likely closing, but where it is surely green."""
    told = look(ready(), hours)
    recoat = [each for each in told.state if each.startswith("recoat")]
    assert recoat == ([] if sign is None else [sign])
    assert told.next.action == action
    assert told.window is not None
    assert told.touch_window is not None
    assert told.touch_window.opens - NOW == pytest.approx(2 * H, rel=0.01)
    assert told.touch_window.closes - NOW == pytest.approx(20 * H, rel=0.01)
    assert told.touch_window.opens < told.window.opens < told.window.closes
    assert told.window.closes < told.touch_window.closes


@pytest.mark.parametrize(
    ("hours", "words"), [(2.2, ["glove", "nothing transfers"]), (16, ["acetone", "soft is green"])]
)
def test_how_it_is_touched(hours: float, words: list[str]) -> None:
    """Early by glove, late with solvent; 'now' says the same."""
    layup = ready()
    told = look(layup, hours)
    assert all(word in told.next.text for word in words)
    (action,) = what_now(int(NOW + hours * H)).actions
    assert (action.layup, action.action, action.text) == (layup, "touch", told.next.text)


def test_an_epoxy_is_washed_and_pressed_with_a_nail() -> None:
    """Acetone says nothing of it, and blush would hide what a nail shows."""
    sheet = makers.two_part_sheet(milestones={"recoat_opens": "3 h", "recoat_closes": "24 h"})
    yard.revise("EPOX", sheet)
    told = look(ready(product="EPOX", catalyst_percent=None), 20)
    assert told.next.action == "touch"
    assert "thumbnail" in told.next.text
    assert "water" in told.next.text
    assert "acetone" not in told.next.text


def test_a_window_that_is_never_sure_is_touched_throughout() -> None:
    """2 to 3 h: no moment is surely inside, and a hand may still find one."""
    stages = {"recoat_opens": "2 h", "recoat_closes": "3 h"}
    yard.add(products=[makers.resin("NARROW", cure=makers.sheet(milestones=stages))])
    told = look(ready(product="NARROW"), 2.5)
    assert told.window is None
    assert told.touch_window is not None
    assert "recoat_touch" in told.state
    assert told.next.action == "touch"


@pytest.mark.parametrize("hours", [15, 19, 22])
def test_green_says_green_now(hours: float) -> None:
    """Solvent makes it tacky: it may be covered at once, and until 1 in 20 such are shut.

    By hand: the closing is log-normal about its 20 h, and it had not come by then.
    """
    layup = ready()
    told = seen(layup, "green", hours)
    assert "recoat_open" in told.state
    assert told.next.action == "coat"
    assert told.window is not None
    z, u = NormalDist(), by_hand.spread(3.0)
    shut = z.cdf(log(hours / 20) / u)
    until = 20 * exp(u * z.inv_cdf(shut + 0.05 * (1 - shut)))
    assert told.window.closes - NOW == pytest.approx(until * H, abs=300)
    later = look(layup, until + 0.5)
    assert "recoat_open" not in later.state
    assert later.next.action in ("touch", "prepare")


def test_green_never_outlasts_the_wall_clock() -> None:
    """The sheet's own hours shut it, whatever a hand finds."""
    stages = {"recoat_opens": "2 h"}
    yard.revise("LAM", makers.sheet(milestones=stages, closes_after="12 h"))
    layup = ready()
    told = seen(layup, "green", 11.9)
    assert told.window is not None
    assert told.window.closes <= NOW + 12 * H
    assert "recoat_open" not in seen(layup, "green", 12.5).state


def test_a_hand_that_finds_it_open_early_is_told_that_it_shuts_early() -> None:
    """No transfer at 1.5 h of 2: open from then, and shut sooner than before."""
    layup = ready()
    before = look(layup, 1.5)
    told = seen(layup, "no_transfer", 1.5)
    assert "recoat_open" in told.state
    assert before.window is not None
    assert told.window is not None
    assert told.window.closes < before.window.closes
    assert told.milestones.recoat_closes.at < before.milestones.recoat_closes.at
    assert told.milestones.recoat_opens.latest <= NOW + 1.5 * H


def test_a_layup_in_trouble_has_no_window_to_touch() -> None:
    """Nothing is promised, and nothing goes on it."""
    layup = ready()
    told = seen(layup, "not_gelled", 3)
    assert "late" in told.state
    assert (told.window, told.touch_window) == (None, None)


def test_solvent_that_leaves_it_hard_shuts_the_window() -> None:
    """Inside the sure window too: soft is green, hard is not (common practice, no source)."""
    layup = ready()
    assert look(layup, 5).next.action == "coat"
    told = seen(layup, "solvent_wipe", 5)
    assert "recoat_past" in told.state
    assert told.next.action == "prepare"
    assert told.window is None or told.window.closes <= NOW + 5 * H


def test_a_nail_that_leaves_no_mark_shuts_an_epoxy_and_no_polyester() -> None:
    """Below its tack a laminating polyester may be hard and still bond."""
    epoxy = makers.one_part_sheet(
        surface="amine_blush", milestones={"recoat_opens": "2 h", "recoat_closes": "20 h"}
    )
    yard.add(products=[makers.product("EP", "coating", chemistry="epoxy", cure=epoxy)])
    shut = seen(ready(product="EP", catalyst_percent=None), "thumbnail", 5)
    assert "recoat_past" in shut.state
    assert "recoat_open" in seen(ready(), "thumbnail", 5).state


def test_green_after_a_hard_word_is_believed() -> None:
    """The later word counts, and it holds for a while only."""
    layup = ready()
    seen(layup, "solvent_wipe", 5)
    told = seen(layup, "green", 6)
    assert "recoat_past" not in told.state


def test_a_glove_that_is_clean_far_too_early_promises_nothing_until_it_is_said_again() -> None:
    """One in a thousand: asked. Its window may shut early as well; said again, it surely does."""
    layup = ready()
    before = look(layup, 0.7).milestones.recoat_closes
    told = seen(layup, "no_transfer", 0.7)
    assert told.window is None
    assert any("note it again" in str(word) for word in told.warnings)
    assert told.milestones.recoat_closes.earliest < before.earliest
    again = seen(layup, "no_transfer", 0.75)
    assert not any("note it again" in str(word) for word in again.warnings)
    assert again.window is None or again.window.closes < before.earliest


def test_what_was_wet_opens_no_sooner_whatever_is_said_later() -> None:
    """Wet at 3 h is doubted. Gelled, once or twice, brings no opening before it, nor a window."""
    layup = ready()
    assert "suspect" in seen(layup, "not_gelled", 3).state
    for hours in (4, 4.5):
        told = seen(layup, "gelled", hours)
        opens = told.milestones.recoat_opens
        assert min(opens.earliest, opens.at, opens.latest) >= NOW + 3 * H
        assert told.window is None
        assert told.touch_window.opens >= NOW + 3 * H
        assert any("note it again" in str(word) for word in told.warnings)


def test_a_doubted_wet_look_counts_once_it_was_said_again() -> None:
    """Wet at 3 h and at 3.2: then a gel leaves it believed, and all later times go by it."""
    layup = ready()
    for hours, kind in ((3, "not_gelled"), (3.2, "not_gelled"), (4, "gelled")):
        told = seen(layup, kind, hours)
    assert not any("note it again" in str(word) for word in told.warnings)
    assert told.milestones.recoat_opens.earliest >= NOW + 3.2 * H
    assert told.milestones.recoat_opens.at > NOW + 3.3 * H


def test_wet_and_then_gelled_is_a_bracket() -> None:
    """Wet at 30 of 20 min and gelled at 34: the pot is slow, and all of it comes later."""
    layup, alone = ready(), ready()
    for minutes, kind in ((30, "not_gelled"), (34, "gelled")):
        told = seen(layup, kind, minutes / 60)
    other = seen(alone, "gelled", 34 / 60)
    assert told.milestones.recoat_opens.at > other.milestones.recoat_opens.at
    assert told.milestones.gel.earliest >= NOW + 30 * 60


def test_sanded_minutes_after_it_was_laid_is_asked_again_and_changes_nothing() -> None:
    """It was another part: it stays wet, nothing goes on it, and the next look is waited for."""
    layup = ready()
    before = look(layup, 1 / 30)
    told = seen(layup, "sanded", 1 / 30)
    assert told.state == before.state == ["wet"]
    assert told.next == before.next
    assert (told.window, told.touch_window) == (before.window, before.touch_window)
    assert any("note it again" in str(word) for word in told.warnings)
    assert seen(layup, "sanded", 1 / 20).next.action == "coat"
