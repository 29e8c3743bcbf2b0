"""Tabbing: strips stepped back, and the fillet under them."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from cureyard_service.core.errors import Invalid
from cureyard_service.core.estimates.tabbing import Fillet, putty, tabs
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

MM = 1000
radii = st.floats(1 * MM, 40 * MM)
angles = st.floats(45, 135)


@given(radii, angles, st.floats(1.1, 3))
def test_a_fillet_scales(radius: float, angle: float, factor: float) -> None:
    """Section with the square of its radius, reach with the radius; sharper takes more."""
    one, other = Fillet(radius, angle), Fillet(radius * factor, angle)
    assert other.section == pytest.approx(one.section * factor**2)
    assert other.touches == pytest.approx(one.touches * factor)
    assert Fillet(radius, angle - 5).section > one.section > 0
    assert putty(one, 2 * MM) == pytest.approx(2 * putty(one, 1 * MM))


@given(radii)
def test_a_square_fillet_against_quadrature(radius: float) -> None:
    """The putty under a quarter circle that touches both faces, summed by an outside library."""
    r = radius / MM
    under = quad(lambda x: r - math.sqrt(r * r - (x - r) ** 2), 0, r)[0]
    assert Fillet(radius).section == pytest.approx(under, rel=1e-6)


@given(st.integers(1, 6), st.floats(0, 12 * MM), st.floats(100 * MM, 300 * MM), radii, angles)
def test_strips_step_back(plies: int, step: float, leg: float, radius: float, angle: float) -> None:
    """Each two steps narrower than the one before; the other way round, the same strips."""
    fillet = Fillet(min(radius, 10 * MM), angle)
    laid = tabs(900 * MM, plies, leg, fillet, step)
    for wide, narrow in pairwise(laid):
        assert wide.outline.width - narrow.outline.width == pytest.approx(2 * step, abs=1e-6)
    turned = tabs(900 * MM, plies, leg, fillet, step, widest_first=False)
    assert [tab.leg for tab in turned] == [tab.leg for tab in laid][::-1]
    assert [tab.ply for tab in turned] == list(range(1, plies + 1))


@given(st.floats(30 * MM, 200 * MM), angles)
def test_a_bare_corner(leg: float, angle: float) -> None:
    """Without a fillet a strip is two legs wide, at any angle."""
    (tab,) = tabs(500 * MM, 1, leg, Fillet(0, angle))
    assert tab.outline.width == pytest.approx(2 * leg)


@given(st.floats(50 * MM, 200 * MM), radii, angles)
def test_a_fillet_shortens_the_way_round(leg: float, radius: float, angle: float) -> None:
    """The tape cuts the corner."""
    fillet = Fillet(min(radius, leg / 6), angle)
    (tab,) = tabs(500 * MM, 1, leg, fillet)
    assert tab.outline.width < 2 * leg


@pytest.mark.parametrize(("radius", "angle"), [(-1, 90), (6e5, 90), (0, 19), (0, 171)])
def test_a_fillet_that_can_t_be(radius: float, angle: float) -> None:
    """Refused with what to do."""
    with pytest.raises(Invalid) as caught:
        Fillet(radius, angle)
    assert caught.value.advice


@pytest.mark.parametrize(
    ("length", "plies", "leg", "step"),
    [(0, 3, 1e5, 1e4), (1e6, 0, 1e5, 1e4), (1e6, 201, 1e5, 0), (1e6, 3, 0, 1e4),
     (1e6, 3, 1e5, -1), (1e6, 5, 1e5, 25e3), (1e6, 1, 12e3, 0)],
)  # fmt: skip
def test_a_tabbing_that_can_t_be(length: float, plies: int, leg: float, step: float) -> None:
    """Nothing, too much, and plies stepped back into the fillet."""
    with pytest.raises(Invalid) as caught:
        tabs(length, plies, leg, Fillet(12 * MM), step)
    assert caught.value.advice
