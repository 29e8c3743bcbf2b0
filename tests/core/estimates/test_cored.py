"""Cored panels: what is opened around a hole, and what fills a core's kerfs."""

from __future__ import annotations

from itertools import pairwise

import pytest
from cureyard_service.core.errors import Invalid
from cureyard_service.core.estimates import cored, outlines
from hypothesis import given
from hypothesis import strategies as st

MM = 1000
sizes = st.floats(1 * MM, 20 * MM)
ROUND = outlines.hole("round", 100 * MM, None)


def test_a_round_hole_by_hand() -> None:
    """100 + 2 x 12 x 3 = 172; + 2 x 25 = 222; + 2 x 12 x 4 = 318 mm (worked by hand)."""
    opened = cored.opened(ROUND, 3 * MM, 4 * MM, ratio=12)
    across = [each.length / MM for each in (opened.inner_ground, opened.core, opened.outer_ground)]
    assert across == [172, 222, 318]
    assert (opened.inner_width, opened.outer_width) == (36 * MM, 48 * MM)


def test_kerfs_by_hand() -> None:
    """20 mm, cut 2 mm wide each 30 mm: 20 (1 - (28/30)²) = 2.578 mm, so 2.578 L/m²."""
    assert cored.in_kerfs(20 * MM, 2 * MM, 30 * MM) / MM == pytest.approx(2.578, abs=5e-4)
    assert cored.in_kerfs(20 * MM, None, None) == 0


@given(st.integers(1, 40), st.integers(1, 9), st.integers(10, 60))
def test_kerfs_hold_what_counting_squares_says(core: int, width: int, pitch: int) -> None:
    """Of pitch x pitch squares of a millimetre, those in either cut are full (geometry)."""
    full = sum(x < width or y < width for x in range(pitch) for y in range(pitch))
    found = cored.in_kerfs(core * MM, width * MM, pitch * MM)
    assert found == pytest.approx(core * MM * full / pitch**2)


@given(sizes, sizes, st.floats(1, 40), st.floats(0, 100 * MM))
def test_each_outline_lies_outside_the_one_before(
    inner: float, outer: float, ratio: float, landing: float
) -> None:
    """Hole, inner ground, core, outer ground."""
    hole = outlines.hole("rectangular", 200 * MM, 120 * MM, 20 * MM)
    opened = cored.opened(hole, inner, outer, ratio=ratio, landing=landing)
    row = [hole, opened.inner_ground, opened.core, opened.outer_ground]
    for one, next_ in pairwise(row):
        assert next_.length - one.length == pytest.approx(next_.width - one.width, abs=1e-3)
        assert next_.length >= one.length


@pytest.mark.parametrize(
    ("core", "width", "pitch"),
    [(0, None, None), (301 * MM, None, None), (MM, MM, None), (MM, None, MM), (MM, MM, MM)],
)
def test_what_no_core_has_is_refused(core: float, width: float | None, pitch: float | None) -> None:
    """Too thin or thick, one figure of two, kerfs that leave no core."""
    with pytest.raises(Invalid):
        cored.in_kerfs(core, width, pitch)


def test_what_no_panel_has_is_refused() -> None:
    """A skin as thin as foil, a taper of nothing, a landing of a metre."""
    for thin, ratio, landing in ((1, 12, 0), (MM, 0.5, 0), (MM, 12, 1000 * MM)):
        with pytest.raises(Invalid):
            cored.opened(ROUND, thin, MM, ratio=ratio, landing=landing)


def test_how_the_core_is_bonded() -> None:
    """Epoxy needs no mat; polyester and vinyl ester do (common practice, no source)."""
    assert "needs no mat" in cored.on_bond("epoxy")
    for chemistry in ("polyester", "vinyl_ester"):
        assert "Lay a mat between" in cored.on_bond(chemistry)
    assert "epoxy needs none" in cored.on_bond(None)
