"""Several pots in one layer: what is known of a pot stays with it, whatever else was laid."""

from __future__ import annotations

from dataclasses import replace
from math import exp, log, sqrt

import numpy as np
import pytest
from cureyard_service.core.bays.temperature import Trace
from cureyard_service.core.cure.clocks import Doubt
from cureyard_service.core.cure.forecast import Forecast, forecasts
from cureyard_service.core.cure.layer import LaidPot, Layer
from cureyard_service.core.cure.milestones import Milestone
from cureyard_service.core.cure.night import cold_ahead
from cureyard_service.core.cure.recoat import window
from cureyard_service.core.cure.signs import Sign, signs
from cureyard_service.core.cure.touch import Touch
from cureyard_service.core.plan.starts import windows
from cureyard_service.core.products.cure_sheet import CureSheet
from hypothesis import given, settings
from hypothesis import strategies as st

from ..bands import UNTESTED_U, at, later_u
from ..makers import (
    EPOXY,
    EXACT,
    HOUR,
    MIN,
    POLYESTER,
    belief,
    laid_at,
    laid_pot,
    law_of,
    layer,
    steady,
    trace,
)  # fmt: skip

PLAIN = replace(POLYESTER, surface="plain")
FILM = replace(PLAIN, film_gel=90 * MIN)
GEL_U = sqrt(UNTESTED_U**2 + 0.05**2 / 5)
"""Of a sheet of five gel times, at its own percent."""
OPENINGS = ("recoat_opens", "sandable", "full_cure")
NEVER = float("inf")
NEAR = 1e-4
"""Moments are found to within a twentieth of a second."""
ONE = Doubt.steady(1.0)
NOISE = 3e-4
"""The 24 points of S err by less."""
SHEETS = (PLAIN, FILM, replace(PLAIN, closes_after=9 * HOUR), replace(PLAIN, stages=()), EPOXY)


def of(*pots: LaidPot, sheet: CureSheet = PLAIN, finished: float = 0.0) -> Layer:
    """A layer of pots."""
    return layer(sheet, pots=pots, finished=finished)


def told(cured: Layer, lived: Trace | None = None, uncertainty: float = 0.0) -> Forecast:
    """What the clock says of a layer, at a steady 20 °C unless told otherwise."""
    return forecasts([cured], lived or steady(20), Doubt.steady(uncertainty))[0]


def hours(milestone: Milestone) -> float:
    """When a milestone comes, in hours."""
    assert milestone.at is not None, milestone.why
    return milestone.at / HOUR


def test_it_opens_by_the_last_pot_and_closes_by_the_first() -> None:
    """A strong pot and a weak one mixed 30 min later: neither lends the other its percent.

    At 1.5 % the sheet says 2 and 20 h. At 2 % closing takes 20 × (1.5/2)^0.75 h, by 0.75 of n = 1;
    at 1 % opening takes 2 × 1.5^0.75 h, from the end of application. (The rule by hand.)
    """
    strong, weak = laid_pot(percent=2.0), laid_pot(percent=1.0, mixed_at=30 * MIN)
    both = told(of(strong, weak, finished=HOUR)).found
    assert hours(both["recoat_opens"]) == pytest.approx(1 + 2 * 1.5**0.75, rel=1e-3)
    assert hours(both["recoat_closes"]) == pytest.approx(20 * 0.75**0.75, rel=1e-3)
    assert hours(both["full_cure"]) == pytest.approx(1 + 72 * 1.5**0.75, rel=1e-3)


def test_each_pot_gels_by_itself_and_the_layer_with_the_last() -> None:
    """30 min at 1.5 %: 22.5 at 2 %, 45 at 1 %, each from its own mixing."""
    strong, weak = laid_pot(percent=2.0), laid_pot(percent=1.0, mixed_at=30 * MIN)
    both = told(of(strong, weak, finished=HOUR))
    gels = [pot.gel.at or 0 for pot in both.pots]
    assert gels == pytest.approx([22.5 * MIN, 75 * MIN], rel=1e-3)
    assert both.found["gel"].at == pytest.approx(75 * MIN, rel=1e-3)
    assert both.found["trim"].at == pytest.approx(105 * MIN, rel=1e-3)


def test_a_pots_lot_and_its_filler_are_its_own() -> None:
    """A fast lot shuts, a slow one opens; only the filled pot's band is wider."""
    fast, slow = laid_pot(factor=0.8), laid_pot(factor=1.3)
    both = told(of(fast, slow)).found
    assert hours(both["recoat_closes"]) == pytest.approx(20 * 0.8**0.75, rel=NEAR)
    assert hours(both["recoat_opens"]) == pytest.approx(2 * 1.3**0.75, rel=NEAR)
    filled = told(of(laid_pot(factor=0.8, filled=True), slow)).found
    u, wide = sqrt(GEL_U**2 + 0.125**2), log(0.8)
    closes = at(0.05, 20 * HOUR, 0.75 * wide, later_u(u, wide))
    assert filled["recoat_closes"].earliest == pytest.approx(closes, rel=NEAR)
    opens = at(0.95, 2 * HOUR, 0.75 * log(1.3), later_u(GEL_U, log(1.3)))
    assert filled["recoat_opens"].latest == pytest.approx(opens, rel=NEAR)


def test_a_pot_is_not_laid_before_it_is_mixed() -> None:
    """What was said to be finished before its last pot was mixed opens by that pot's mixing.

    The last of two equal pots is expected 0.5642 of a pot's 0.054 later than one alone.
    """
    both = told(of(laid_pot(), laid_pot(mixed_at=3 * HOUR), finished=HOUR)).found
    assert hours(both["recoat_opens"]) == pytest.approx(3 + 2 * exp(0.5642 * 0.054), rel=NEAR)


beliefs = st.builds(
    belief, st.just(law_of(PLAIN)), st.sampled_from((1.0, 1.0, 0.7, 1.5)), st.booleans()
)
pots = st.builds(
    LaidPot,
    percent=st.sampled_from((1.5, 1.5, 1.0, 1.2, 2.0)),
    belief=beliefs,
    mixed_at=st.floats(0, 3 * HOUR),
    gelled_at=st.none() | st.floats(3 * HOUR, 9 * HOUR),
    cup_gelled_at=st.none() | st.floats(3 * HOUR, 9 * HOUR),
)


def as_epoxy(pot: LaidPot) -> LaidPot:
    """The same pot of a product that nothing is dosed to."""
    plain = law_of(EPOXY).belief()
    low, high = (m + pot.belief.mean for m in plain.m)
    return replace(pot, percent=None, belief=replace(plain, m=(low, high)))


nights = st.lists(st.floats(4, 32), min_size=2, max_size=8)


def lived_through(celsius: list[float]) -> Trace:
    """A bay's air: a few hours of what was drawn, then a long steady 20 °C."""
    return trace([5 * n for n in range(len(celsius))] + [60, 1500], [*celsius, 20, 20])


def edges(milestone: Milestone) -> list[float]:
    """A milestone's moments, infinite where it is not given."""
    if milestone.at is None:
        return [NEVER] * 3
    latest = NEVER if milestone.latest is None else milestone.latest
    return [milestone.at, milestone.earliest or 0.0, latest]


@settings(max_examples=150)
@given(
    st.sampled_from(SHEETS), st.lists(pots, min_size=1, max_size=3), pots, st.floats(0, 4), nights,
    st.floats(0, 3),
)  # fmt: skip
def test_another_pot_never_opens_sooner_and_never_closes_later(
    sheet: CureSheet,
    some: list[LaidPot],
    another: LaidPot,
    finished: float,
    celsius: list[float],
    uncertainty: float,
) -> None:
    """Of any pots, in any weather, at each edge of the band; so each pot alone is a bound too."""
    if sheet is EPOXY:
        some, another = [as_epoxy(p) for p in some], as_epoxy(another)
    lived, end = lived_through(celsius), finished * HOUR
    fewer = told(of(*some, sheet=sheet, finished=end), lived, uncertainty)
    more = told(of(*some, another, sheet=sheet, finished=end), lived, uncertainty)
    for name in OPENINGS:
        later = np.array(edges(more.found[name])) * (1 + NOISE)
        assert all(np.greater_equal(later, edges(fewer.found[name])))
    closes = "recoat_closes"
    sooner = np.array(edges(more.found[closes])) * (1 - NOISE)
    assert all(np.less_equal(sooner, edges(fewer.found[closes])))
    assert more.hard >= fewer.hard
    assert (more.stalled or NEVER) <= (fewer.stalled or NEVER)


@settings(max_examples=60)
@given(st.sampled_from(SHEETS[:4]), st.lists(pots, min_size=2, max_size=3), nights, st.booleans())
def test_a_layer_is_as_its_pots_alone(
    sheet: CureSheet, some: list[LaidPot], celsius: list[float], looked: bool
) -> None:
    """Beside other layers in one run or by itself; its gel is that of its last pot.

    A gel that was looked at is 0.05 unsure beside its S, so all of the pots are, or none.
    """
    seen = {} if looked else {"gelled_at": None}
    some = [replace(p, cup_gelled_at=9 * HOUR if looked else None, **seen) for p in some]
    lived, cured = lived_through(celsius), of(*some, sheet=sheet, finished=4 * HOUR)
    (alone,) = forecasts([cured], lived, ONE)
    among = forecasts([layer(sheet), cured, of(some[0], sheet=sheet)], lived, ONE)
    for name, milestone in alone.found.items():
        assert edges(among[1].found[name]) == pytest.approx(edges(milestone), rel=NOISE)
    each = [told(of(pot, sheet=sheet, finished=4 * HOUR), lived, 1.0) for pot in some]
    for pot, one in zip(alone.pots, each, strict=True):
        assert edges(pot.gel) == pytest.approx(edges(one.found["gel"]), rel=NOISE)
    assert edges(alone.found["gel"]) == list(
        map(max, zip(*(edges(pot.gel) for pot in alone.pots), strict=True))
    )


@settings(max_examples=40)
@given(st.sampled_from(SHEETS[:4]), st.lists(pots, min_size=2, max_size=3), nights)
def test_a_plan_has_the_windows_of_several_pots(
    sheet: CureSheet, some: list[LaidPot], celsius: list[float]
) -> None:
    """For each start the window that its milestones have, as of one pot."""
    unseen = [replace(pot, gelled_at=None, cup_gelled_at=None) for pot in some]
    cured, lived = of(*unseen, sheet=sheet, finished=4 * HOUR), lived_through(celsius)
    starts = np.array([0.0, 7.0, 31.0]) * HOUR
    found = windows(cured, lived, ONE, starts)
    for k, start in enumerate(starts):
        seen = told(laid_at(cured, start), lived, 1.0).found
        held = (found.opens[k], found.closes[k]) if found.opens[k] < found.closes[k] else None
        assert held == (window(seen) and pytest.approx(window(seen), rel=NOISE))


def test_the_night_is_judged_by_the_pot_that_is_not_hard_yet() -> None:
    """Surely hard at 8.04 h, cold from 9 h on: the pot of hour 4 is not, and is heated for."""
    lived = trace([0, 9, 9, 30, 30, 400], [20, 20, 5, 5, 20, 20])
    early, late = laid_pot(), laid_pot(mixed_at=4 * HOUR)
    assert cold_ahead(of(early), lived, EXACT) is None
    found = cold_ahead(of(early, late), lived, EXACT)
    assert found is not None
    assert found.cold_from == 9 * HOUR


def stood(cured: Layer, minutes: float, **touch: float) -> tuple[Sign, ...]:
    """The signs of a layer at so many minutes, at a steady 20 °C."""
    wet_at = touch.get("not_gelled")
    found = told(replace(cured, pots=tuple(replace(pot, wet_at=wet_at) for pot in cured.pots)))
    return signs(cured, found.found, found.stalled, Touch(**touch), minutes * MIN, found.pots)


def test_late_is_judged_by_each_pot() -> None:
    """At 71.2 min at the latest the first pot's film gels; the second was mixed at 30.

    A hand that says which pot gelled leaves the other, which has its time.
    """
    first, second = laid_pot(), laid_pot(mixed_at=30 * MIN)
    assert "late" not in stood(of(first, second), 72, not_gelled=71 * MIN)
    assert stood(of(first, second), 72, not_gelled=72 * MIN)[:2] == ("wet", "late")
    assert "suspect" in stood(of(first, second), 150, not_gelled=143 * MIN)
    gelled = replace(first, gelled_at=50 * MIN)
    assert "late" not in stood(of(gelled, second), 100, not_gelled=100 * MIN)
    assert "late" in stood(of(gelled, second), 110, not_gelled=102 * MIN)


def test_a_cup_that_is_wet_makes_its_pot_late() -> None:
    """The rest in the second pot's cup still flows at twice its time."""
    wet = laid_pot(cup_wet_at=76 * MIN)
    assert "suspect" in stood(of(laid_pot(), wet), 80)
    assert "suspect" not in stood(of(laid_pot(), replace(wet, mixed_at=30 * MIN)), 80)


def test_gelled_when_a_hand_saw_each_pot_gel() -> None:
    """One of two is not the part."""
    seen, unseen = laid_pot(gelled_at=20 * MIN), laid_pot(mixed_at=19 * MIN)
    assert stood(of(seen), 21)[0] == "gelled"
    assert stood(of(seen, unseen), 21)[0] == "wet"
    assert told(of(seen, unseen)).found["gel"].basis == "measured"
    look = laid_pot(gelled_at=20 * MIN), laid_pot(mixed_at=10 * MIN, gelled_at=20 * MIN)
    assert told(of(*look)).found["gel"].computed == pytest.approx(40 * MIN, rel=NEAR)


@settings(max_examples=60)
@given(
    st.sampled_from(SHEETS[:4]), pots, st.floats(3.1, 60), st.booleans(),
    st.floats(12, 19) | st.floats(23, 32), st.floats(0, 1.5),
)  # fmt: skip
def test_a_look_moves_a_closing_its_own_way(
    sheet: CureSheet, pot: LaidPot, minutes: float, cup: bool, celsius: float, unsure: float
) -> None:
    """In a steady bay: found gelled the closing comes no later, found wet no sooner."""
    fresh, lived = replace(pot, gelled_at=None, cup_gelled_at=None), steady(celsius, 1500)
    kind, look = "cup_" if cup else "", fresh.mixed_at + minutes * MIN
    before = told(of(fresh, sheet=sheet), lived, unsure)
    gelled = told(of(replace(fresh, **{f"{kind}gelled_at": look}), sheet=sheet), lived, unsure)
    wet = told(of(replace(fresh, **{f"{kind}wet_at": look}), sheet=sheet), lived, unsure)
    soonest, usual, latest = (
        np.array(edges(each.found["recoat_closes"])) for each in (gelled, before, wet)
    )
    # The 24 points on which S is weighed err by less than a thousandth.
    assert all(soonest <= usual * 1.001)
    assert all(latest >= usual / 1.001)


def test_a_late_look_says_nothing_and_an_early_one_shuts_sooner() -> None:
    """Gel is forecast at 30 min. At 3 h everybody knew; at 15 min it is news."""
    forecast = told(of(laid_pot())).found
    late = told(of(laid_pot(gelled_at=3 * HOUR))).found
    for name in ("gel", "recoat_opens", "recoat_closes"):
        assert edges(late[name]) == pytest.approx(edges(forecast[name]), rel=0.02)
    assert late["gel"].basis == "observed"
    early = told(of(laid_pot(gelled_at=25 * MIN))).found
    assert (early["gel"].note or "").startswith("A hand found it gelled")
    assert early["gel"].latest <= 25 * MIN  # type: ignore[operator]
    assert hours(early["recoat_closes"]) < 0.95 * hours(forecast["recoat_closes"])


def test_a_film_is_judged_by_the_films_time() -> None:
    """The sheet says 30 min in the cup and 90 in a film, so to 111.8 at the latest.

    Wet at 80 min it is in time, where a film that only a cup speaks for is late; gelled between
    88 and 92 it runs as forecast.
    """
    film = of(laid_pot(), sheet=FILM)
    assert stood(film, 85, not_gelled=80 * MIN)[0] == "gelling"
    assert "late" in stood(of(laid_pot()), 80, not_gelled=80 * MIN)
    assert stood(film, 114, not_gelled=113 * MIN)[:2] == ("wet", "late")
    assert "suspect" in stood(film, 226, not_gelled=225 * MIN)
    look = laid_pot(wet_at=88 * MIN, gelled_at=92 * MIN)
    seen = told(of(look, sheet=FILM)).found
    assert seen["film"].basis == "observed"
    assert seen["film"].at == pytest.approx(90 * MIN, abs=0.5 * MIN)
    assert hours(seen["recoat_opens"]) == pytest.approx(2, rel=0.01)
    assert hours(seen["recoat_closes"]) == pytest.approx(20, rel=0.01)
    assert seen["trim"].at == pytest.approx(120 * MIN, abs=0.5 * MIN)
    assert told(film).found["gel"].at == pytest.approx(30 * MIN, rel=NEAR)


def test_a_film_of_less_catalyst_gels_later() -> None:
    """At 1 % as the gel law has it, half as long again; its cup does not speak for the film."""
    weak = told(of(laid_pot(percent=1.0), sheet=FILM))
    assert weak.found["film"].at == pytest.approx(135 * MIN, rel=1e-3)
    cup = of(laid_pot(cup_gelled_at=28 * MIN), sheet=FILM)
    assert stood(cup, 40)[0] == "wet"
    assert told(cup).found["gel"].basis == "observed"
