"""Fairing: volumes and coats."""

from __future__ import annotations

import pytest
from cureyard_service.core.errors import Invalid
from cureyard_service.core.estimates.fairing import MOST_COATS, fair
from hypothesis import given
from hypothesis import strategies as st

areas = st.floats(1e3, 1e8)
depths = st.floats(100, 30_000)


@given(areas, depths, st.floats(0, 2000), st.floats(1000, 10_000))
def test_coats_are_equal_fill_the_hollow_and_keep_the_limit(
    area: float, depth: float, proud: float, coat_max: float
) -> None:
    """No coat too thick, and none more than it takes."""
    faired = fair(area, depth, coat_max, proud=proud)
    assert faired.coat <= coat_max * (1 + 1e-6)
    assert (faired.coats - 1) * coat_max < depth + proud
    assert faired.coats * faired.coat == pytest.approx(depth + proud)


@given(areas, depths, st.floats(0, 2000), st.floats(0, 100))
def test_lines_add_up_and_scale(area: float, depth: float, proud: float, waste: float) -> None:
    """V = A t (1 + waste); twice the area takes twice."""
    faired = fair(area, depth, 30_000, proud=proud, waste=waste)
    whole = area * (depth + proud) / 1000 * (1 + waste / 100)
    assert faired.mix == pytest.approx(whole)
    assert fair(2 * area, depth, 30_000, proud=proud, waste=waste).mix == pytest.approx(2 * whole)


def test_a_whole_number_of_coats_is_not_one_more() -> None:
    """0.3 mm in coats of 0.1 mm are three, whatever binary fractions say."""
    assert fair(1e6, 0.3, 0.1).coats == 3


def test_the_thinnest_skim_is_a_coat() -> None:
    """Next to nothing is still one coat, not none."""
    assert fair(1e6, 1e-12, 1e6).coats == 1


@pytest.mark.parametrize(
    "bad",
    [(0, 1, 1), (1, 0, 1), (1, -1, 1), (1, 1, 0), (1, MOST_COATS + 1, 1), (1e20, 1e3, 1e3)],
)
def test_no_fairing(bad: tuple[float, float, float]) -> None:
    """Nothing, or a wall."""
    with pytest.raises(Invalid) as caught:
        fair(*bad)
    assert caught.value.advice
