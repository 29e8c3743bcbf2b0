"""A look that a layup can't have shown yet counts for nothing until it is said again."""

from __future__ import annotations

from typing import Any

import pytest
from cureyard_service.acts.cure import watch
from cureyard_service.acts.cure.observe import observe_layup
from cureyard_service.acts.cure.show import LayupView, show_layup
from cureyard_service.acts.yard import finding

from ... import makers
from .. import sample_yard as yard
from ..sample_yard import HAND, MIN, NOW

pytestmark = pytest.mark.usefixtures("books")

SHEET = {"recoat_opens": "3 h", "recoat_closes": "24 h"}
"""A usual laminating epoxy: it gels in 30 min, and no time says when it can be sanded."""


def epoxy(**more: str) -> int:
    """A layup of it, laid now; its id."""
    sheet = makers.two_part_sheet(
        gel_times=[makers.gel_time("20 degC", "30 min", None)], milestones=SHEET | more
    )
    yard.add(products=[makers.product("EP", "resin", chemistry="epoxy", cure=sheet)])
    return int(yard.laid(product="EP").id)


def polyester() -> int:
    """A layup that gels in 20 min and opens after 2 h; its id."""
    return int(yard.laid(product="LAM", catalyst_percent=2).id)


def look(layup: int, minutes: float) -> LayupView:
    """As it stands so many minutes on."""
    return show_layup(watch.watch(finding.layup(layup), int(NOW + minutes * MIN)))


def seen(layup: int, kind: str, minutes: float, **more: Any) -> LayupView:
    """What a hand found so many minutes on."""
    at = int(NOW + minutes * MIN)
    return observe_layup(finding.layup(layup), kind=kind, now=at, hand=HAND, **more)


def asked(told: LayupView) -> bool:
    """Whether the answer asks for the look once more."""
    return any("note it again" in str(word) for word in told.warnings)


def stood(told: LayupView) -> tuple[Any, ...]:
    """What a hand goes by."""
    return told.state, told.seen, told.do, told.next, told.window, told.touch_window


WORDS = [
    ("gelled", 4), ("green", 10), ("no_transfer", 12), ("no_transfer", 23), ("sanded", 10),
    ("thumbnail", 10), ("hardness", 10), ("hardness", 23), ("sanded", 23), ("solvent_wipe", 23),
    ("thumbnail", 100),
]  # fmt: skip


@pytest.mark.parametrize("more", [{}, {"sandable": "12 h"}], ids=["untimed", "timed"])
@pytest.mark.parametrize(("kind", "minutes"), WORDS)
def test_before_it_can_be_so_a_word_changes_nothing(
    kind: str, minutes: int, more: dict[str, str]
) -> None:
    """Whether or not the sheet times the sanding: 6 gel times stand in (practice, no source)."""
    layup = epoxy(**more)
    value = {"value": 40} if kind == "hardness" else {}
    before = look(layup, minutes)
    told = seen(layup, kind, minutes, **value)
    assert asked(told)
    if kind != "no_transfer":  # who finds it open early may be right: then it shuts early
        assert stood(told) == stood(before)
    assert told.state == before.state
    assert told.do == before.do
    again = seen(layup, kind, minutes + 1, **value)
    assert not asked(again)
    assert stood(again) != stood(before)


@pytest.mark.parametrize("kind", ["gelled", "sanded"])
def test_a_slip_of_the_thumb_slips_twice(kind: str) -> None:
    """Said again within a minute it is the same touch; a minute after the first it counts."""
    layup = epoxy()
    before = look(layup, 4)
    assert asked(seen(layup, kind, 4))
    told = seen(layup, kind, 4.5)
    assert asked(told)
    assert stood(told)[3:] == stood(before)[3:]
    assert not asked(seen(layup, kind, 5))


def test_the_earlier_it_is_found_open_the_earlier_it_shuts() -> None:
    """A sheet's 2 h that came after 3 min say that all of it goes so much faster."""
    shuts = []
    for minutes in (3, 8, 20, 25, 40, 60, 90):
        layup = polyester()
        for at in (minutes, minutes + 1.1):
            seen(layup, "no_transfer", at)
        window = look(layup, 100).window
        assert window is not None
        shuts.append(window.closes)
    assert shuts == sorted(shuts)
    assert shuts[0] < shuts[-1]


def test_sanded_directly_after_it_was_felt_wet() -> None:
    """Wet at 19 min and sanded at 22: nothing is covered by that."""
    layup = epoxy()
    before = seen(layup, "not_gelled", 19)
    told = seen(layup, "sanded", 22)
    assert asked(told)
    assert told.next == before.next
    assert told.window == before.window
    assert "wet" in told.state


@pytest.mark.parametrize("kind", ["sanded", "thumbnail", "green", "no_transfer"])
def test_hours_later_too_what_was_just_wet_is_not_set(kind: str) -> None:
    """Wet at 5 h and set two minutes later: asked again. So late a wet look itself counts."""
    layup = polyester()
    assert seen(layup, "not_gelled", 300).next.action == "probe"
    told = seen(layup, kind, 302)
    assert asked(told)
    assert told.next.action == "probe"


def test_wet_resin_is_tacky() -> None:
    """A pot without catalyst too: at 10 of 20 min that is no gel, so a later wet is late."""
    layup = polyester()
    told = seen(layup, "green", 10)
    assert asked(told)
    assert told.state == ["wet"]
    assert "suspect" in look(layup, 300).state or "gelled" not in look(layup, 300).seen


@pytest.mark.parametrize("kind", ["sanded", "thumbnail"])
def test_a_doubted_word_leaves_a_sure_one_alone(kind: str) -> None:
    """Gelled in its time, then sanded too soon: the gel still stands, and its window."""
    layup = epoxy()
    assert not asked(seen(layup, "gelled", 45))
    before = look(layup, 60)
    told = seen(layup, kind, 60)
    assert asked(told)
    assert stood(told) == stood(before)
    assert not asked(seen(layup, "gelled", 61))


def test_of_a_doubted_hardness_nothing_is_handed_over() -> None:
    """Nor is it ground for a next layer."""
    layup = epoxy()
    seen(layup, "hardness", 23, value=60)
    watched = watch.watch(finding.layup(layup), NOW + 24 * MIN)
    assert watched.touch.sandable is None
    assert watched.believed == ()
    assert watched.doubted


@pytest.mark.parametrize(("kind", "hours"), [("sanded", 20), ("hardness", 20), ("gelled", 0.7)])
def test_in_its_time_it_is_believed_at_once(kind: str, hours: float) -> None:
    """Nothing is asked."""
    value = {"value": 40} if kind == "hardness" else {}
    assert not asked(seen(epoxy(), kind, hours * 60, **value))


def test_green_long_after_it_has_surely_shut_is_asked_again() -> None:
    """The normal tack of a polyester is no green face: at 70 of 20 h none in 1000 is."""
    layup = polyester()
    before = look(layup, 70 * 60)
    told = seen(layup, "green", 70 * 60)
    assert asked(told)
    assert told.next == before.next


def test_a_look_at_a_layup_in_the_cold_has_one_word() -> None:
    """It will stall: wet until then, stalled cold after, and no end is promised."""
    yard.add(bays=[makers.bay("COLD", "6 degC", "6 degC")])
    layup = int(yard.laid(product="LAM", catalyst_percent=2, bay="COLD").id)
    for hours, sign in ((1, "wet"), (10, "wet"), (13, "cold_stalled")):
        told = look(layup, hours * 60)
        assert told.state == [sign]
        assert told.sign == sign
        assert told.milestones.recoat_closes.at is None
        assert (told.window, told.touch_window) == (None, None)
