"""Several pots in one layer: what is known of a pot stays with it, whatever else was laid."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from cureyard_service.core.bays.temperature import Trace
from cureyard_service.core.cure.forecast import Forecast, forecasts
from cureyard_service.core.cure.layer import LaidPot, Layer
from cureyard_service.core.cure.milestones import Milestone
from cureyard_service.core.cure.night import cold_ahead
from cureyard_service.core.cure.recoat import window, windows
from cureyard_service.core.cure.signs import Sign, signs
from cureyard_service.core.cure.touch import Touch
from cureyard_service.core.products.cure_sheet import CureSheet
from hypothesis import given, settings
from hypothesis import strategies as st

from ..makers import EPOXY, HOUR, MIN, POLYESTER, laid_at, laid_pot, layer, steady, trace

PLAIN = replace(POLYESTER, surface="plain")
FILM = replace(PLAIN, film_gel=90 * MIN)
OPENINGS = ("recoat_opens", "sandable", "full_cure")
NEVER = float("inf")
SHEETS = (PLAIN, FILM, replace(PLAIN, closes_after=9 * HOUR), replace(PLAIN, stages=()), EPOXY)


def of(*pots: LaidPot, sheet: CureSheet = PLAIN, finished: float = 0.0) -> Layer:
    """A layer of pots."""
    return layer(sheet, pots=pots, finished=finished)


def told(cured: Layer, lived: Trace | None = None, uncertainty: float = 0.0) -> Forecast:
    """What the clock says of a layer, at a steady 20 °C unless told otherwise."""
    return forecasts([cured], lived or steady(20), uncertainty)[0]


def hours(milestone: Milestone) -> float:
    """When a milestone comes, in hours."""
    assert milestone.at is not None, milestone.why
    return milestone.at / HOUR


def test_it_opens_by_the_last_pot_and_closes_by_the_first() -> None:
    """A strong pot and a weak one mixed 30 min later: neither lends the other its percent.

    At 1.5 % the sheet says 2 and 20 h. At 2 % closing takes 20 × 1.5/2 = 15 h by n = 1; at 1 %
    opening takes 2 × 1.5/1 = 3 h, from the end of application. (The milestones' own rule, by hand.)
    """
    strong, weak = laid_pot(percent=2.0), laid_pot(percent=1.0, mixed_at=30 * MIN)
    both = told(of(strong, weak, finished=HOUR)).found
    assert hours(both["recoat_opens"]) == pytest.approx(1 + 3)
    assert hours(both["recoat_closes"]) == pytest.approx(15)
    assert hours(both["full_cure"]) == pytest.approx(1 + 72 * 1.5)


def test_each_pot_gels_by_itself_and_the_layer_with_the_last() -> None:
    """30 min at 1.5 %: 22.5 at 2 %, 45 at 1 %, each from its own mixing."""
    strong, weak = laid_pot(percent=2.0), laid_pot(percent=1.0, mixed_at=30 * MIN)
    both = told(of(strong, weak, finished=HOUR))
    gels = [pot.gel.at or 0 for pot in both.pots]
    assert gels == pytest.approx([22.5 * MIN, 75 * MIN])
    assert both.found["gel"].at == pytest.approx(75 * MIN)
    assert both.found["trim"].at == pytest.approx(105 * MIN)


def test_a_pots_lot_and_its_filler_are_its_own() -> None:
    """A fast lot shuts, a slow one opens; only the filled pot's band is wider."""
    fast, slow = laid_pot(factor=0.8), laid_pot(factor=1.3)
    both = told(of(fast, slow)).found
    assert hours(both["recoat_closes"]) == pytest.approx(20 * 0.8)
    assert hours(both["recoat_opens"]) == pytest.approx(2 * 1.3)
    filled = told(of(replace(fast, unsure=True), slow)).found
    assert filled["recoat_closes"].earliest == pytest.approx(16 * HOUR * 0.4)
    assert filled["recoat_opens"].latest == pytest.approx(2.6 * HOUR * 1.35)


def test_a_pot_is_not_laid_before_it_is_mixed() -> None:
    """What was said to be finished before its last pot was mixed opens by that pot's mixing."""
    both = told(of(laid_pot(), laid_pot(mixed_at=3 * HOUR), finished=HOUR)).found
    assert hours(both["recoat_opens"]) == pytest.approx(5)


pots = st.builds(
    LaidPot,
    percent=st.floats(1, 2),
    factor=st.floats(0.7, 1.5),
    mixed_at=st.floats(0, 3 * HOUR),
    unsure=st.booleans(),
    gelled_at=st.none() | st.floats(3 * HOUR, 9 * HOUR),
    cup_gelled_at=st.none() | st.floats(3 * HOUR, 9 * HOUR),
)
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
        some, another = [replace(p, percent=None) for p in some], replace(another, percent=None)
    lived, end = lived_through(celsius), finished * HOUR
    fewer = told(of(*some, sheet=sheet, finished=end), lived, uncertainty)
    more = told(of(*some, another, sheet=sheet, finished=end), lived, uncertainty)
    for name in OPENINGS:
        assert all(np.greater_equal(edges(more.found[name]), edges(fewer.found[name])))
    closes = "recoat_closes"
    assert all(np.less_equal(edges(more.found[closes]), edges(fewer.found[closes])))
    assert more.hard >= fewer.hard
    assert (more.stalled or NEVER) <= (fewer.stalled or NEVER)


@settings(max_examples=60)
@given(st.sampled_from(SHEETS[:4]), st.lists(pots, min_size=2, max_size=3), nights)
def test_a_layer_is_as_its_pots_alone(
    sheet: CureSheet, some: list[LaidPot], celsius: list[float]
) -> None:
    """Beside other layers in one run or by itself; its gel is that of its last pot."""
    lived, cured = lived_through(celsius), of(*some, sheet=sheet, finished=4 * HOUR)
    (alone,) = forecasts([cured], lived, 1.0)
    among = forecasts([layer(sheet), cured, of(some[0], sheet=sheet)], lived, 1.0)
    assert among[1] == alone
    each = [told(of(pot, sheet=sheet, finished=4 * HOUR), lived, 1.0) for pot in some]
    assert [pot.gel for pot in alone.pots] == [one.found["gel"] for one in each]
    assert edges(alone.found["gel"]) == list(
        map(max, zip(*(edges(one.found["gel"]) for one in each), strict=True))
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
    found = windows(cured, lived, 1.0, starts)
    for k, start in enumerate(starts):
        seen = told(laid_at(cured, start), lived, 1.0).found
        held = (found.opens[k], found.closes[k]) if found.opens[k] < found.closes[k] else None
        assert held == (window(seen) and pytest.approx(window(seen), abs=0.01))


def test_the_night_is_judged_by_the_pot_that_is_not_hard_yet() -> None:
    """Hard at 6 h, cold from 8 h on: the pot of hour 4 is not, and is heated for."""
    lived = trace([0, 8, 8, 30, 30, 400], [20, 20, 5, 5, 20, 20])
    early, late = laid_pot(), laid_pot(mixed_at=4 * HOUR)
    assert cold_ahead(of(early), lived, 0.0) is None
    found = cold_ahead(of(early, late), lived, 0.0)
    assert found is not None
    assert found.cold_from == 8 * HOUR


def stood(cured: Layer, minutes: float, **touch: float) -> tuple[Sign, ...]:
    """The signs of a layer at so many minutes, at a steady 20 °C."""
    found = told(cured)
    return signs(cured, found.found, found.stalled, Touch(**touch), minutes * MIN, found.pots)


def test_late_is_judged_by_each_pot() -> None:
    """At 37.5 min at the latest the first pot should have gelled; the second was mixed at 30.

    A hand that says which pot gelled leaves the other, which has its time.
    """
    first, second = laid_pot(), laid_pot(mixed_at=30 * MIN)
    assert "late" not in stood(of(first, second), 40, not_gelled=37 * MIN)
    assert stood(of(first, second), 40, not_gelled=38 * MIN)[:2] == ("wet", "late")
    assert "suspect" in stood(of(first, second), 80, not_gelled=76 * MIN)
    gelled = replace(first, cup_gelled_at=28 * MIN)
    assert "late" not in stood(of(gelled, second), 60, not_gelled=60 * MIN)
    assert "late" in stood(of(gelled, second), 70, not_gelled=68 * MIN)


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
    look = laid_pot(gelled_at=2 * HOUR), laid_pot(mixed_at=30 * MIN, gelled_at=2 * HOUR)
    assert told(of(*look)).found["gel"].computed == pytest.approx(60 * MIN)


@settings(max_examples=100)
@given(
    st.sampled_from(SHEETS[:4]), pots, st.floats(3.1, 60), st.booleans(), nights, st.floats(0, 3)
)
def test_no_look_moves_a_closing_later(
    sheet: CureSheet, pot: LaidPot, hour: float, cup: bool, celsius: list[float], unsure: float
) -> None:
    """Whenever somebody looks, and whatever was seen before: the closing stays, or comes sooner."""
    lived = lived_through(celsius)
    look = {"cup_gelled_at" if cup else "gelled_at": hour * HOUR}
    if getattr(pot, *look) is not None:
        return
    before, after = (told(of(p, sheet=sheet), lived, unsure) for p in (pot, replace(pot, **look)))
    closes = "recoat_closes"
    assert all(np.less_equal(edges(after.found[closes]), edges(before.found[closes])))


def test_a_late_look_says_at_most_and_an_early_one_shuts_sooner() -> None:
    """Gel is forecast at 30 min. Seen at 3 h it was then at the latest; at 15 min it is a fact."""
    forecast = told(of(laid_pot())).found
    late = told(of(laid_pot(gelled_at=3 * HOUR))).found
    assert (late["gel"].earliest, late["gel"].latest) == (forecast["gel"].earliest, 3 * HOUR)
    assert (late["gel"].note or "").startswith("At most")
    assert late["recoat_closes"] == forecast["recoat_closes"]
    assert hours(late["recoat_opens"]) == pytest.approx(2 * 2)
    early = told(of(laid_pot(gelled_at=15 * MIN))).found
    assert early["gel"].note is None
    assert hours(early["recoat_closes"]) == pytest.approx(10)


def test_a_film_is_judged_by_the_films_time() -> None:
    """The sheet says 30 min in the cup and 90 in a film, so to 112.5 at the latest.

    Wet at 80 min, past twice the cup's latest, it is in time; gelled at 90 it runs as forecast.
    """
    film = of(laid_pot(), sheet=FILM)
    assert stood(film, 80, not_gelled=80 * MIN)[0] == "gelling"
    assert "suspect" in stood(of(laid_pot()), 80, not_gelled=80 * MIN)
    assert stood(film, 114, not_gelled=113 * MIN)[:2] == ("wet", "late")
    assert "suspect" in stood(film, 226, not_gelled=225 * MIN)
    seen = told(of(laid_pot(gelled_at=90 * MIN), sheet=FILM)).found
    assert (seen["film"].at, seen["film"].basis) == (90 * MIN, "observed")
    assert hours(seen["recoat_opens"]) == pytest.approx(2)
    assert hours(seen["recoat_closes"]) == pytest.approx(20)
    assert seen["trim"].at == 120 * MIN
    assert told(film).found["gel"].at == pytest.approx(30 * MIN)


def test_a_film_of_less_catalyst_gels_later() -> None:
    """At 1 % as the gel law has it, half as long again; its cup does not speak for the film."""
    weak = told(of(laid_pot(percent=1.0), sheet=FILM))
    assert weak.found["film"].at == pytest.approx(135 * MIN)
    cup = of(laid_pot(cup_gelled_at=30 * MIN), sheet=FILM)
    assert stood(cup, 40)[0] == "wet"
    assert told(cup).found["gel"].basis == "observed"
