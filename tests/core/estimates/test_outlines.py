"""Outlines of holes and plies: sizes and areas."""

from __future__ import annotations

import math
from typing import Any

import pytest
from cureyard_service.core.errors import Invalid
from cureyard_service.core.estimates import outlines
from hypothesis import given
from hypothesis import strategies as st

sizes = st.floats(10_000, 2_000_000)
adds = st.floats(0, 200_000)


@given(sizes, sizes, adds, adds)
def test_a_grown_hole(length: float, width: float, add: float, beside: float) -> None:
    """Both ends and one side get `add`, the other side `beside`; the area lies between boxes."""
    for shape in ("oval", "rectangular"):
        grown = outlines.hole(shape, length, width).grown(add, beside)
        assert grown.length == pytest.approx(length + 2 * add)
        assert grown.width == pytest.approx(width + add + beside)
        assert grown.area >= math.pi / 4 * grown.length * grown.width / 1e6 - 1e-6
        assert grown.area <= grown.length * grown.width / 1e6


@given(sizes, adds)
def test_a_round_hole_stays_round_unless_a_side_is_short(size: float, add: float) -> None:
    """π(d/2 + a)²; with a short side it is an oval."""
    hole = outlines.hole("round", size, None)
    grown = hole.grown(add, add)
    assert grown.shape == "round"
    assert grown.area == pytest.approx(math.pi * (size / 2 + add) ** 2 / 1e6)
    assert hole.grown(add + 1000, add).shape == "oval"


@given(sizes, sizes, adds, st.floats(0, 0.5))
def test_a_rounded_rectangle_s_area(length: float, width: float, add: float, share: float) -> None:
    """Grown all round it has A + P a + π a² (Steiner's formula for a convex outline)."""
    corner = share * min(length, width)
    hole = outlines.hole("rectangular", length, width, corner)
    around = 2 * (length + width) - (8 - 2 * math.pi) * corner
    steiner = hole.area + (around * add + math.pi * add**2) / 1e6
    assert hole.grown(add, add).area == pytest.approx(steiner)


@given(sizes, sizes)
def test_length_and_width_are_alike(length: float, width: float) -> None:
    """Turned by a quarter, a hole has the same area."""
    for shape in outlines.HOLES[1:]:
        turned = outlines.hole(shape, width, length)
        assert outlines.hole(shape, length, width).area == pytest.approx(turned.area)


@pytest.mark.parametrize(
    ("shape", "more"),
    [
        ("round", {"length": 0.0, "width": None}),
        ("round", {"length": 10.0, "width": 12.0}),
        ("oval", {"length": 10.0, "width": None}),
        ("oval", {"length": 10.0, "width": 10.0, "corner": 1.0}),
        ("rectangular", {"length": 10.0, "width": -1.0}),
        ("rectangular", {"length": 10.0, "width": 8.0, "corner": 4.1}),
        ("rectangular", {"length": 2e8, "width": 8.0}),
        ("rectangular", {"length": float("nan"), "width": 8.0}),
    ],
)
def test_a_hole_that_can_t_be(shape: Any, more: dict[str, Any]) -> None:
    """Each is refused with what to do."""
    with pytest.raises(Invalid) as caught:
        outlines.hole(shape, **more)
    assert caught.value.advice


@pytest.mark.parametrize("length", [0.0, -5.0, 2e8, float("nan")])
def test_a_seam_that_can_t_be(length: float) -> None:
    """A seam has a length."""
    with pytest.raises(Invalid):
        outlines.seam(length)
