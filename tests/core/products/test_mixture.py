"""A mixture of normals over ten nodes, and where a rising function is zero."""

from __future__ import annotations

import numpy as np
import pytest
from cureyard_service.core.products.mixture import (
    deviations,
    nodes,
    normal,
    quantile,
    root,
)
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import norm

SHIFT, ENERGY, WEIGHT = nodes()
MEANS = st.lists(st.floats(-2, 2), min_size=10, max_size=10).map(np.array)
SPREADS = st.lists(st.floats(0.02, 1), min_size=10, max_size=10).map(np.array)


def test_the_nodes_stand_for_a_range_and_two_energies() -> None:
    """Weights add up to 1; over the range, mean 0 and variance 1/3, as a rectangle's (JCGM 100)."""
    assert WEIGHT.sum() == pytest.approx(1)
    assert pytest.approx(0, abs=1e-15) == WEIGHT @ SHIFT
    assert pytest.approx(1 / 3) == WEIGHT @ SHIFT**2
    assert pytest.approx(1 / 5) == WEIGHT @ SHIFT**4
    assert pytest.approx(1 / 2) == WEIGHT @ ENERGY


@given(MEANS, SPREADS, st.floats(0.001, 0.999))
def test_a_quantile_has_its_chance(mean: np.ndarray, sd: np.ndarray, p: float) -> None:
    """Of the mixture, by SciPy's distribution function; however far apart the nodes lie."""
    found = quantile(mean, sd, p)
    assert WEIGHT @ norm.cdf((found - mean) / sd) == pytest.approx(p, abs=1e-6)


@given(st.floats(-2, 2), st.floats(0.02, 1), st.floats(0.001, 0.999))
def test_nodes_that_agree_are_one_normal(mean: float, sd: float, p: float) -> None:
    """Then it is SciPy's own quantile."""
    found = quantile(np.full(10, mean), np.full(10, sd), p)
    assert found == pytest.approx(float(norm.ppf(p, mean, sd)), abs=1e-6)


def test_deviations_undo_the_normal() -> None:
    """In any shape; a chance of 0 or 1 is far out, and no number breaks."""
    z = np.linspace(-5, 5, 12).reshape(3, 4)
    assert deviations(normal(z)) == pytest.approx(z, abs=1e-4)
    far = deviations(np.array([0.0, 1.0]))
    assert far[0] < -6
    assert far[1] == pytest.approx(-far[0], rel=1e-5)


@given(st.lists(st.floats(0.01, 0.99), min_size=1, max_size=5), st.floats(0.2, 9))
def test_a_root_is_found_for_each(wanted: list[float], bend: float) -> None:
    """Of a bent function, between 0 and 1."""
    aim = np.array(wanted)
    found = root(lambda x: x**bend - aim, np.zeros_like(aim), np.ones_like(aim), 1e-9)
    assert found == pytest.approx(aim ** (1 / bend), abs=1e-6)


def test_of_a_jump_the_upper_side_is_given() -> None:
    """What is reached all at once is reached then, not before."""
    found = root(lambda x: np.where(x < 3, -1.0, 1.0), np.array([0.0]), np.array([10.0]), 1e-9)
    assert found[0] >= 3
    assert found[0] == pytest.approx(3, abs=1e-6)
