"""Looks: what a hand saw weighs what is believed of the whole layup."""

from __future__ import annotations

from dataclasses import replace
from math import log, sqrt

import numpy as np
import pytest
from cureyard_service.core.arrays import Floats
from cureyard_service.core.cure.chance import Chances, Reach
from cureyard_service.core.cure.looks import clock_of_points, later_sd
from cureyard_service.core.products.budget import USUAL
from cureyard_service.core.products.cure_sheet import StageTime
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import integrate
from scipy.stats import norm

from ..bands import after_gel
from ..makers import HOUR, MIN
from .drawn import GEL, OPENS, SHEET, STEADY, closing, opening, told

EDGES = np.array([0.05, 0.5, 0.95])
U = sqrt(0.05**2 + 0.0866**2 + 0.08**2 + 0.054**2)
"""Gel of an untested lot: sheet, pair, lot and pot in quadrature."""


def edges(reach: Reach) -> Floats:
    """Its moments of 5, 50 and 95 %."""
    return np.asarray(reach.moment(EDGES)[:, 0])


def width(reach: Reach) -> float:
    """The width of its band in ln."""
    found = edges(reach)
    return float(np.log(found[2] / found[0]))


def weights(said: Chances) -> Floats:
    """The weight of each point of S by all looks."""
    assert said.weighed is not None
    return np.asarray(said.weighed.weight()[:, 0])


def test_without_a_look_nothing_is_weighed() -> None:
    """And with one that says nothing the points are as likely as before, and add up to 1."""
    assert told(STEADY, 1).weighed is None
    said = told(STEADY, 1, cup_wet_at=1.0)
    assert said.weighed is not None
    assert weights(said).sum() == pytest.approx(1, abs=1e-4)
    assert weights(said) @ said.weighed.S[:, 0] == pytest.approx(0, abs=1e-9)
    spread = sqrt(weights(said) @ said.weighed.S[:, 0] ** 2)
    assert spread == pytest.approx(U, rel=1e-4)
    assert len(clock_of_points()) == len(weights(said)) == 480


@pytest.mark.parametrize("minutes", [16, 20, 25, 40])
@pytest.mark.parametrize("film", [False, True])
def test_a_gel_that_was_seen_by_integration(minutes: float, film: bool) -> None:
    """In a cup, and in a film of a sheet that times the cup: opening and chance, by SciPy."""
    said = told(STEADY, 0, **{"gelled_at" if film else "cup_gelled_at": minutes * MIN})
    expected = [after_gel(p, minutes * MIN, GEL, OPENS, U, film=film) for p in EDGES]
    assert edges(opening(said)) == pytest.approx(expected, rel=2e-3)
    shift, s = (0.4, 0.25) if film else (0.0, 0.05)
    assert said.weighed is not None
    by_hand = norm.cdf((log(minutes / 25) - shift) / sqrt(U**2 + s**2))
    assert said.weighed.chance[0] == pytest.approx(float(by_hand), rel=5e-3)


def test_a_film_that_the_sheet_times_is_judged_by_that_time() -> None:
    """30 min by the sheet, wet at 30 and gelled at 36: S alone and 0.05, integrated by SciPy."""
    sheet = replace(SHEET, film_gel=30 * MIN)
    said = told(STEADY, 0, sheet=sheet, wet_at=30 * MIN, gelled_at=36 * MIN)

    def agreed(S: float) -> float:
        by, before = norm.cdf((log(1.2) - S) / 0.05), norm.cdf(-S / 0.05)
        return float(norm.pdf(S, 0, U) * (by - before))

    whole, _ = integrate.quad(agreed, -1, 1, points=[0, 0.18])
    assert said.weighed is not None
    assert said.weighed.chance[0] == pytest.approx(whole, rel=1e-3)


def test_a_stage_that_was_seen_moves_the_others() -> None:
    """Open early it shuts early; green late it is later to be sanded."""
    usual = told(STEADY, 1)
    early = told(STEADY, 1, opened_at=2.2 * HOUR)
    green = told(STEADY, 1, green_at=10 * HOUR)
    assert (edges(closing(early)) < edges(closing(usual))).all()
    assert (edges(opening(green)) > edges(opening(usual))).all()
    wet = told(STEADY, 1, cup_wet_at=30 * MIN)
    assert (edges(opening(wet)) > edges(opening(usual))).all()


@settings(max_examples=40)
@given(
    st.floats(12, 40), st.floats(1, 30), st.booleans(), st.floats(0.5, 12), st.floats(0.5, 12),
    st.floats(0, 3),
)  # fmt: skip
def test_what_was_seen_of_a_stage_cuts_its_own_band(
    wet: float, after: float, cup: bool, opened: float, green: float, kelvins: float
) -> None:
    """Never before the last word against it, never after the first for it."""
    kind = "cup_" if cup else ""
    looks = {f"{kind}wet_at": wet * MIN, f"{kind}gelled_at": (wet + after) * MIN}
    said = told(STEADY, kelvins, **looks)
    gel = edges(said.gel())
    assert (gel >= wet * MIN).all()
    assert (gel <= (wet + after) * MIN).all()
    hands = told(STEADY, kelvins, opened_at=opened * HOUR, green_at=green * HOUR)
    assert (edges(opening(hands)) <= opened * HOUR).all()
    assert (edges(closing(hands)) >= green * HOUR).all()


@settings(max_examples=40)
@given(st.floats(-0.15, 0.15), st.floats(0.01, 0.2), st.floats(0, 3), st.floats(10, 30))
def test_a_look_that_agrees_never_widens_what_follows(
    low: float, more: float, kelvins: float, celsius: float
) -> None:
    """A cup that gelled in any bracket round about when it was expected."""
    steps = ((0, celsius),)
    plain = told(steps, kelvins)
    expected = plain.gel().moment(np.array([0.5]))[0, 0]
    looks = {"cup_wet_at": expected * np.exp(low), "cup_gelled_at": expected * np.exp(low + more)}
    said = told(steps, kelvins, **looks)
    for of in (opening, closing):
        assert width(of(said)) <= width(of(plain)) * 1.001


def test_looks_against_the_clock_altogether_are_left_out() -> None:
    """Gelled in a cup after one minute, under 1 in a thousand million: not of this pot's S."""
    said, usual = told(STEADY, 1, cup_gelled_at=MIN), told(STEADY, 1)
    assert said.weighed is not None
    assert said.weighed.chance[0] < 1e-9
    assert edges(opening(said)) == pytest.approx(edges(opening(usual)), rel=1e-3)
    assert (edges(said.gel()) <= MIN).all()


@pytest.mark.parametrize(
    ("looks", "doubted"),
    [
        ({"wet_at": 50}, False),
        ({"wet_at": 180}, True),
        ({"wet_at": 180, "gelled_at": 240}, True),
        ({"wet_at": 180, "wet_before": 10}, True),
        ({"wet_at": 180, "wet_before": 175}, False),
        ({"wet_at": 180, "wet_before": 175, "gelled_at": 240}, False),
        ({"cup_wet_at": 80}, True),
        ({"cup_wet_at": 80, "cup_wet_before": 75}, False),
    ],
)
def test_an_unlikely_wet_look_is_doubted_until_it_was_said_twice(
    looks: dict[str, float], doubted: bool
) -> None:
    """Of 25 min in a cup: a gel, or a look that was no news, does not say it again."""
    said = told(STEADY, 1, **{name: at * MIN for name, at in looks.items()})
    assert said.weighed is not None
    assert said.weighed.doubted.tolist() == [doubted]


def test_a_later_stage_is_unsurer_the_farther_its_gel_is_from_the_sheet_s() -> None:
    """0.12 beside it, and 0.144 of what is expected of the gel, in quadrature."""
    M = np.array([0.0, 0.5, -0.5])
    assert later_sd(M, USUAL) == pytest.approx([0.12, np.hypot(0.12, 0.072), np.hypot(0.12, 0.072)])


def test_a_look_at_one_pot_is_not_one_at_another() -> None:
    """Each has its own S."""
    said = told(STEADY, 1, cup_gelled_at=18 * MIN)
    assert edges(said.stage("recoat_opens", StageTime(OPENS))) == pytest.approx(
        edges(opening(said))
    )
