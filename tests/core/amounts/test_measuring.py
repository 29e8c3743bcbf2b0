"""What a scale and a measure can show, and what can't be shown inside two limits."""

from __future__ import annotations

import pytest
from cureyard_service.core.amounts.measuring import gram_step, measured, ml_step, nearest
from hypothesis import given
from hypothesis import strategies as st


def test_steps_change_where_they_are_said_to() -> None:
    """0.1 g under 100 g and 0.1 mL under 20 mL; from there on 1 g and 0.5 mL."""
    assert [gram_step(mass) for mass in (1, 99_999, 100_000)] == [100, 100, 1000]
    assert [ml_step(volume) for volume in (1, 19_999, 20_000)] == [100, 100, 500]


@given(st.floats(0, 1e7), st.sampled_from([100, 500, 1000]))
def test_the_nearest_is_a_step_and_within_half_of_one(exact: float, step: int) -> None:
    """Whole steps only, never further off than half."""
    assert nearest(exact, step) % step == 0
    assert abs(nearest(exact, step) - exact) <= step / 2


@given(st.floats(10, 1e7), st.floats(0.5, 4), st.floats(0, 3), st.floats(0, 1))
def test_what_is_measured_is_inside_or_nothing_is(
    whole: float, low: float, width: float, share: float
) -> None:
    """A whole step inside the limits; None only where there is no step beside the exact amount."""
    high = low + width
    exact = whole * (low + share * width) / 100
    found = measured(exact, lambda _: 100, whole, low, high)
    beside = [exact // 100 * 100, (exact // 100 + 1) * 100]
    fits = [step for step in beside if low * whole <= 100 * step <= high * whole]
    if found is None:
        assert not fits
    else:
        assert found in fits
        assert abs(found - exact) <= min(abs(step - exact) for step in fits) + 1e-6


@pytest.mark.parametrize(("percent", "mass"), [(2.0, 1900), (1.0, 1000), (1.5, 1500)])
def test_at_a_limit_it_rounds_back_inside(percent: float, mass: int) -> None:
    """2 % of 99 g is 1.98 g: 2.0 would be over, so 1.9."""
    assert measured(99_000 * percent / 100, gram_step, 99_000, 1.0, 2.0) == mass
