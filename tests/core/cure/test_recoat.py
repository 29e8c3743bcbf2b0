"""The recoat rule: the window, its place in time, and the preparation past it."""

from __future__ import annotations

from dataclasses import replace
from itertools import product
from math import sqrt

import pytest
from cureyard_service.core.cure import recoat
from cureyard_service.core.cure.clocks import Doubt
from cureyard_service.core.cure.forecast import milestones
from cureyard_service.core.cure.layer import COVERS, surface_of
from cureyard_service.core.cure.milestones import Milestone
from cureyard_service.core.cure.recoat import Stand, prepare, touch_window, window
from cureyard_service.core.cure.touch import Touch, Word, by_hand, touch_of
from cureyard_service.core.products import cautions
from cureyard_service.core.products.cure_sheet import SURFACES, StageTime, Surface
from hypothesis import given, settings
from hypothesis import strategies as st

from ..bands import UNTESTED_U, at, later_u, reached, slower, stepped
from ..makers import (
    EXACT,
    HOUR,
    MIN,
    POLYESTER,
    WAXED,
    law_of,
    layer,
    steady,
    trace,
)  # fmt: skip

PLAIN = replace(POLYESTER, surface="plain", closes_after=1000 * HOUR)

STANDS: tuple[Stand, ...] = ("before", "open", "past")
WITHOUT_WINDOW = ("waxed", "unknown")


def touched(kind: str, minute: float) -> Touch:
    """What a hand found at a minute after the mixing."""
    return touch_of([Word(kind, minute * MIN)])


def test_closing_never_stalls() -> None:
    """Cold chemistry is slow, but under the floor the window still creeps shut by the clock."""
    lived = trace([0, 1, 1, 400], [20, 20, 5, 5])
    seen = milestones(layer(PLAIN), lived, EXACT)
    warm = milestones(layer(PLAIN), steady(20), EXACT)["recoat_closes"].at or 0
    assert seen["recoat_opens"].at is None
    assert warm < (seen["recoat_closes"].at or 0) < 400 * HOUR


COLD = law_of(PLAIN)
SHUT = (
    reached(
        0.5, stepped(COLD.belief(), COLD.temperature, (0, 5), coldest=13),
        [20 * HOUR / slower(20, E, COLD.temperature) for E in COLD.belief().E],
        0, later_u(sqrt(UNTESTED_U**2 + 0.05**2 / 5)), 0,
    ) / HOUR
)  # fmt: skip
"""At 5 °C, 8 K under the least of its sheet, where the slower law is slower still (SciPy)."""


@pytest.mark.parametrize(
    ("after", "closes", "note"),
    [
        (None, SHUT, None),
        (5 * HOUR, 5, "Shut by the sheet's 5 h after mixing, not by the cure clock."),
        (50 * HOUR, 50, "At the latest by the sheet's 50 h after mixing."),
        (1000 * HOUR, SHUT, None),
    ],
)
def test_the_wall_shuts_the_window_if_it_is_first(
    after: float | None, closes: float, note: str | None
) -> None:
    """By the sheet's wall where it has one, said so; else, or if it is sooner, by the clock."""
    sheet = replace(PLAIN, closes_after=after)
    seen = milestones(layer(sheet, finished=3 * HOUR), steady(5), EXACT)["recoat_closes"]
    assert (seen.at or 0) / HOUR == pytest.approx(closes, abs=0.1)
    assert seen.note == note


@pytest.mark.parametrize("hours", [36, 48])
def test_a_sheet_that_gives_a_closing_is_not_cut_to_a_day(hours: float) -> None:
    """The assumed day is for a sheet that gives none (data sheets print 24 to 72 h)."""
    stages = (("recoat_opens", StageTime(2 * HOUR)), ("recoat_closes", StageTime(hours * HOUR)))
    seen = milestones(layer(replace(POLYESTER, stages=stages)), steady(20), EXACT)["recoat_closes"]
    assert (seen.at or 0) / HOUR == pytest.approx(hours)
    assert (seen.basis, seen.note) == ("measured", None)
    walled = replace(POLYESTER, stages=stages[:1], closes_after=hours * HOUR)
    seen = milestones(layer(walled), steady(20), EXACT)["recoat_closes"]
    assert (seen.at or 0) / HOUR == hours
    assert seen.note == f"Shut by the sheet's {hours} h after mixing, not by the cure clock."


@settings(max_examples=40)
@given(st.lists(st.floats(-5, 30), min_size=2, max_size=8), st.floats(0, 5))
def test_the_window_shuts_in_any_weather(celsius: list[float], uncertainty: float) -> None:
    """Whatever the nights do, closing has a moment, a band, and is never after the wall."""
    lived = trace([4 * n for n in range(len(celsius))] + [1440], [*celsius, celsius[-1]])
    for wall, last in ((None, 1440), (24 * HOUR, 24)):
        sheet = replace(POLYESTER, closes_after=wall)
        closes = milestones(layer(sheet), lived, Doubt.steady(uncertainty))["recoat_closes"]
        assert closes.earliest <= closes.at <= closes.latest <= last * HOUR  # type: ignore[operator]


SURE_OPENS = at(0.95, 2 * HOUR, 0, later_u(sqrt(UNTESTED_U**2 + 0.05**2 / 5)))
SURE_CLOSES = at(0.05, 20 * HOUR, 0, later_u(sqrt(UNTESTED_U**2 + 0.05**2 / 5)))


def test_a_window_is_sure_from_one_end_to_the_other() -> None:
    """Far apart, each end by its own 95 %: at the other's nothing else can be (SciPy)."""
    seen = milestones(layer(PLAIN), steady(20), EXACT)
    assert window(seen) == pytest.approx((SURE_OPENS, SURE_CLOSES), rel=1e-4)
    assert touch_window(seen) == pytest.approx((2 * HOUR, 20 * HOUR), rel=1e-4)


def test_a_window_is_read_off_its_two_ends() -> None:
    """Sure where both say so, by touch from the likely opening to the likely closing."""
    narrow = {"recoat_opens": Milestone(5, 4, 8), "recoat_closes": Milestone(9, 8, 12)}
    assert (window(narrow), touch_window(narrow)) == (None, (5, 9))
    sure = {
        "recoat_opens": Milestone(5, 4, 8, sure=8.1),
        "recoat_closes": Milestone(9, 8, sure=8.5),
    }
    assert window(sure) == (8.1, 8.5)
    waxed = {**sure, "recoat_opens": Milestone(None, why="waxed-surface")}
    assert (window(waxed), touch_window(waxed)) == (None, None)
    assert touch_window({**sure, "recoat_opens": Milestone(9, 8, 12)}) is None


def test_wax_has_no_window_but_a_before_and_a_past() -> None:
    """Until it is sandable at the latest it is too soft, then it wants abrading."""
    found = milestones(layer(WAXED), steady(20), EXACT)
    assert recoat.stand(found, 8 * HOUR) == "before"
    assert recoat.stand(found, 8.2 * HOUR) == "past"


def test_no_transfer_opens_the_window_from_that_moment() -> None:
    """At an hour, where the clock opens it at 161 min."""
    found = by_hand(milestones(layer(PLAIN), steady(20), EXACT), touched("no_transfer", 60))
    assert recoat.stand(found, 61 * MIN) == "open"
    assert window(found) == (60 * MIN, pytest.approx(SURE_CLOSES, rel=1e-4))
    assert found["recoat_opens"].basis == "observed"


def test_hard_before_its_window_was_due_is_past_it() -> None:
    """The clock was wrong by too much to promise a green bond: it is abraded."""
    found = by_hand(milestones(layer(PLAIN), steady(20), EXACT), touched("thumbnail", 60))
    assert recoat.stand(found, 61 * MIN) == "past"


@pytest.mark.parametrize(("surface", "stand"), [*product(SURFACES, STANDS)])
def test_every_surface_has_an_answer_at_every_stand(surface: Surface, stand: Stand) -> None:
    """Nothing falls through, each has its reason, and only an open window wants nothing."""
    for cover in COVERS:
        found = prepare(surface, stand, cover)
        assert found.reason
        steps = [step for step in found.steps if step != "strip the cover"]
        wants_nothing = stand == "open" and (surface not in WITHOUT_WINDOW or cover != "none")
        assert (steps == []) == wants_nothing
        assert (found.steps == ("wait",)) == (stand == "before")


def test_tack_is_washed_off_before_it_is_ground() -> None:
    """Hard below, wiped and dry, then ground: in that order, with the dust's caution."""
    found = prepare("air_inhibited", "past", "none")
    assert [step.split()[0] for step in found.steps] == ["confirm", "solvent-wipe,", "grind"]
    assert "15 min" in found.steps[1]
    assert set(cautions.DUST) <= set(found.cautions)


def test_blush_is_washed_with_water_before_it_is_abraded() -> None:
    """Sanding first would drive it in; under-cured epoxy dust has its own caution."""
    found = prepare("amine_blush", "past", "none")
    assert found.steps[0].startswith("wash with water")
    assert found.steps[1].startswith("abrade")
    assert cautions.GREEN_DUST in found.cautions


def test_wax_is_wiped_and_abraded_even_where_a_window_is_claimed() -> None:
    """Nothing bonds to wax; an unknown surface is taken for a waxed one past its window."""
    waxed = prepare("waxed", "past", "none")
    assert [step.split()[0] for step in waxed.steps] == ["solvent-wipe,", "abrade"]
    assert prepare("waxed", "open", "none") == waxed
    for stand in ("open", "past"):
        assert prepare("unknown", stand, "none") == waxed


@pytest.mark.parametrize("cover", ["peel_ply", "film"])
def test_a_cover_comes_off_first_and_leaves_a_plain_face(cover: str) -> None:
    """It kept the wax and the tack away: strip, then as for a plain face."""
    for surface in SURFACES:
        assert prepare(surface, "open", cover).steps == ("strip the cover",)  # type: ignore[arg-type]
        past = prepare(surface, "past", cover)  # type: ignore[arg-type]
        assert past.steps == ("strip the cover", *prepare("plain", "past", "none").steps)


def test_wax_added_makes_a_waxed_surface() -> None:
    """An additive changes the surface that the sheet names; the others don't."""
    assert surface_of("air_inhibited", ["thins", "waxes"]) == "waxed"
    assert surface_of("air_inhibited", ["thins", "pigments", "promotes"]) == "air_inhibited"


def test_only_wax_and_the_unknown_have_no_window() -> None:
    """Unless a peel ply or film kept the wax off the face."""
    for surface, cover in product(SURFACES, COVERS):
        shut = surface in WITHOUT_WINDOW and cover == "none"
        laid = layer(POLYESTER, surface=surface, cover=cover)
        assert recoat.never(laid) == ("waxed-surface" if shut else None)
