"""The sure window: while a bond is green with the chance that was asked for."""

from __future__ import annotations

import numpy as np
import pytest
from cureyard_service.core.arrays import Floats
from cureyard_service.core.cure.windows import Sides
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import optimize
from scipy.stats import norm

from ..makers import HOUR
from .drawn import CLOSES, OPENS, STEADY, closing, opening, told

NEVER = np.array([np.inf])
U = float(np.sqrt(0.05**2 + 0.0866**2 + 0.08**2 + 0.054**2 + 0.12**2))
"""Of a later stage of an untested lot, in ln."""


def sides(kelvins: float = 0.0, wall: Floats = NEVER, celsius: float = 20.0) -> Sides:
    """3 to 9 h at 20 °C, in a bay at a steady temperature."""
    said = told(((0, celsius),), kelvins)
    return Sides(said.layers, opening(said), closing(said), wall)


def window(held: Sides, sure: float) -> tuple[float, float]:
    """Its sure window, in s; infinity and minus it where there is none."""
    assert held.opens is not None
    opens = held.opens.moment(np.array([sure]))[0]
    closes = held.wall
    if held.closes is not None:
        closes = np.minimum(held.closes.moment(np.array([1 - sure]))[0], held.wall)
    begin, end = held.sure(opens, closes, sure)
    return float(begin[0]), float(end[0])


def green(t: float) -> float:
    """By hand: opened, less shut; each log-normal."""
    return float(norm.cdf(np.log(t / OPENS) / U) - norm.cdf(np.log(t / CLOSES) / U))


def test_it_is_opened_less_shut() -> None:
    """At any moment, by SciPy."""
    held = sides()
    for hours in (1, 2, 3, 4.5, 5.5, 7, 9, 14):
        shown = held.green(np.array([hours * HOUR]))[0]
        assert shown == pytest.approx(green(hours * HOUR), abs=1e-5)


@pytest.mark.parametrize("sure", [0.9, 0.95, 0.98])
def test_it_lasts_while_that_is_as_much_as_was_asked_for(sure: float) -> None:
    """Both ends by SciPy; more surely it is shorter."""
    best = float(np.sqrt(OPENS * CLOSES))
    expected = (
        optimize.brentq(lambda t: green(t) - sure, OPENS, best),
        optimize.brentq(lambda t: green(t) - sure, best, CLOSES),
    )
    assert window(sides(), sure) == pytest.approx(expected, rel=1e-4)


def test_where_that_is_never_reached_there_is_none() -> None:
    """At best it is green with 99.7 %."""
    best = green(float(np.sqrt(OPENS * CLOSES)))
    assert 0.99 < best < 0.999
    assert window(sides(), best + 0.001) == (np.inf, -np.inf)


@settings(max_examples=40)
@given(st.floats(0, 4), st.floats(8, 32), st.floats(0.9, 0.99), st.floats(2, 40))
def test_all_of_it_is_green_enough(
    kelvins: float, celsius: float, sure: float, hours: float
) -> None:
    """With a wall or without, and just outside it is not."""
    for wall in (NEVER, np.array([hours * HOUR])):
        held = sides(kelvins, wall, celsius)
        begin, end = window(held, sure)
        if begin > end:
            continue
        assert end <= wall[0]
        inside = held.green(np.linspace(begin, end - 0.1, 50)[:, None])[:, 0]
        assert (inside >= sure - 1e-4).all()
        for moment in (begin - 120, end + 120):
            assert held.green(np.array([moment]))[0] < sure + 1e-4


def test_the_wall_shuts_it_at_once() -> None:
    """Sheet's own closing or not, nothing is green from then on."""
    held = sides(wall=np.array([5 * HOUR]))
    assert window(held, 0.95)[1] == pytest.approx(5 * HOUR, abs=1)
    assert held.green(np.array([5 * HOUR]))[0] < 0.1
    alone = Sides(held.layers, held.opens, None, held.wall)
    assert window(alone, 0.95)[1] == pytest.approx(5 * HOUR, abs=1)


def test_what_never_opens_is_never_green() -> None:
    """A sheet without an opening."""
    held = sides()
    assert (Sides(held.layers, None, held.closes, NEVER).green(np.array([3 * HOUR])) <= 0).all()


def test_a_hand_that_says_no_transfer_opens_it_from_then_on() -> None:
    """Early, and the closing comes sooner for it."""
    said = told(STEADY, 1, opened_at=2 * HOUR)
    held = Sides(said.layers, opening(said), closing(said), NEVER)
    assert held.green(np.array([2 * HOUR]))[0] > 0.99
    begin, end = window(held, 0.95)
    assert begin <= 2 * HOUR
    assert end < window(sides(1), 0.95)[1]
