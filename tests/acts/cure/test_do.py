"""What to do at a layup, in the few words that every screen has."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from cureyard_service.acts.cure import watch
from cureyard_service.acts.cure.do import DoView, do
from cureyard_service.acts.cure.observe import observe_layup
from cureyard_service.acts.yard import finding

from ... import makers
from .. import sample_yard as yard
from ..sample_yard import HAND, NOW, H

pytestmark = pytest.mark.usefixtures("books")
MIN = 60
GOES_ON = ("layer down by", "lift in by", "start by", "next layer from", "next lift from",
           "cover it today")  # fmt: skip


def laid(**facts: Any) -> int:
    """A layup of the laminating resin."""
    asked = {"product": "LAM", "catalyst_percent": Decimal(2), "now": NOW} | facts
    return yard.laid(**asked).id


def seen(layup: int, kind: str, at: int, value: int | None = None) -> None:
    """What a hand saw of it."""
    observe_layup(finding.layup(layup), kind=kind, value=value, at=at, now=at, hand=HAND)


def told(layup: int, now: int) -> DoView:
    """What to do at it."""
    return do(watch.watch(finding.layup(layup), now))


@pytest.mark.parametrize("surface", ["air_inhibited", "amine_blush", "plain"])
@pytest.mark.parametrize(
    "after", [(), (("hardness", 3),), (("blush", None),), (("hardness", 3), ("blush", None))]
)
def test_nothing_goes_on_what_a_hand_last_found_wet(
    surface: str, after: tuple[tuple[str, int | None], ...]
) -> None:
    """A low hardness, or blush, is no word that it has set since."""
    yard.add(products=[makers.resin("FACE", cure=makers.sheet(surface=surface))])
    layup = laid(product="FACE")
    seen(layup, "not_gelled", NOW + 5 * MIN)
    for place, (kind, value) in enumerate(after):
        seen(layup, kind, NOW + (6 + place) * MIN, value)
    for hours in (0.2, 0.5, 1, 3, 5, 12, 30, 100):
        now = int(NOW + hours * H)
        watched = watch.watch(finding.layup(layup), now)
        assert watched.unsound is not None
        assert do(watched).words not in GOES_ON


def test_a_pot_that_was_laid_too_late_is_trouble() -> None:
    """Its signs are ordinary: the next step is to probe it."""
    yard.stocked()
    pot = yard.pot()
    late = int(pot.gel_at_latest) + 5 * MIN
    layup = yard.laid(pot.id, now=late).id
    assert told(layup, late + 3 * H) == DoView("do not cover: ask a lead", "trouble")


def test_what_lies_on_an_unsound_layer_is_trouble() -> None:
    """At any depth: the whole stack rests on it."""
    leave = {"reason": "the owner"}
    lowest = laid()
    seen(lowest, "not_gelled", NOW + 2 * H)
    middle = laid(over=lowest, override=leave, now=NOW + 3 * H)
    top = laid(over=middle, override=leave, now=NOW + 8 * H)
    for layup in (middle, top):
        assert told(layup, NOW + 14 * H) == DoView("do not cover: ask a lead", "trouble")
    for layup, below in ((middle, lowest), (top, middle)):
        warnings = watch.watch(finding.layup(layup), NOW + 14 * H).flags
        assert any(word.startswith(f"Stop: layup {below} below it") for word in warnings)
    for layup in (lowest, middle):
        assert told(top, NOW + 14 * H).urgency == "trouble"
        seen(layup, "gelled", NOW + 14 * H)
    assert told(top, NOW + 14 * H).urgency != "trouble"


@pytest.mark.parametrize(("cover", "test"), [("none", "nail"), ("peel_ply", "acetone")])
def test_the_late_test_of_a_face(cover: str, test: str) -> None:
    """An epoxy is tried by nail after the wash; under peel ply there is no blush to wash."""
    cure = makers.sheet(surface="amine_blush")
    yard.add(products=[makers.resin("BLUSH", cure=cure)])
    layup = laid(product="BLUSH", cover=cover)
    held = watch.watch(finding.layup(layup), NOW + H)
    assert held.window is not None
    assert held.touch_window is not None
    after = int((held.window[1] + held.touch_window[1]) / 2)
    assert told(layup, after) == DoView(f"{test} test first", "wanted", note="green")


def test_a_pour_has_lifts() -> None:
    """The next one goes in before the window ends."""
    layup = laid(kind="pour")
    held = watch.watch(finding.layup(layup), NOW + H).window
    assert held is not None
    assert told(layup, int(sum(held) / 2)).words == "lift in by"


def test_heat_is_wanted_by_the_hour_that_the_bay_goes_cold() -> None:
    """And at once where it is cold already."""
    bays = [makers.bay("NIGHT", "20 degC", "2 degC", day_until="20:00"),
            makers.bay("COLD", "6 degC", "6 degC")]  # fmt: skip
    yard.add(bays=bays)
    by = told(laid(bay="NIGHT"), NOW + 3 * H)
    assert (by.words, by.at) == ("heat NIGHT by", NOW + 36_800)  # 20:00
    assert told(laid(bay="COLD"), NOW + MIN) == DoView("heat COLD now", "trouble")


@pytest.mark.parametrize("minutes", [40, 70, 120])
def test_sanding_far_too_early_waits_to_be_said_again(minutes: int) -> None:
    """Nobody sands a laminate an hour old: nothing is laid on it by that word alone."""
    layup = laid()
    at = NOW + minutes * MIN
    before = told(layup, at)
    seen(layup, "sanded", at)
    once = watch.watch(finding.layup(layup), at)
    assert do(once).words not in (*GOES_ON, "sand any time")
    assert "sandable" not in once.signs
    assert before.urgency != "trouble"
