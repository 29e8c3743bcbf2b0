"""Buoyancy: signs, sums and scaling."""

from __future__ import annotations

import pytest
from cureyard_service.core.errors import Invalid
from cureyard_service.core.estimates import buoyancy
from hypothesis import given
from hypothesis import strategies as st

masses = st.just(0.0) | st.floats(1e-6, 1e9)
"""In kg; below a milligram only rounding is tested."""
factors = st.floats(-1, 0.9)
TWO_POUND = buoyancy.lift(2 * buoyancy.POUND / buoyancy.CUBIC_FOOT)


@given(st.floats(0.05, 0.999), st.floats(1.001, 25))
def test_what_is_lighter_than_water_has_a_factor_below_zero(light: float, heavy: float) -> None:
    """The sign tells whether it floats; the heaviest never weighs more under water than dry."""
    assert buoyancy.factor(light) < 0 < buoyancy.factor(heavy) < 1


@given(masses, factors, masses, masses, masses, masses, st.floats(1.1, 3))
def test_everything_scales(
    hull: float, k: float, deck: float, engines: float, persons: float, capacity: float, by: float
) -> None:
    """Hull and engines scale; persons beyond 550 lb count less, so they never more than scale."""
    once = buoyancy.level([(hull, k)], deck, engines, persons, capacity, TWO_POUND)
    more = buoyancy.level([(by * hull, k)], by * deck, by * engines, by * persons, by * capacity,
                          TWO_POUND)  # fmt: skip
    assert more.hull == pytest.approx(by * once.hull)
    assert more.engines == pytest.approx(by * once.engines)
    assert more.persons <= by * once.persons * (1 + 1e-9)
    assert once.total >= 0


@given(masses, masses, masses)
def test_wood_takes_foam_away(frp: float, wood: float, deck: float) -> None:
    """Plywood in the hull never asks for more foam; a second layer of glass never for less."""
    bare = buoyancy.level([(frp, 0.33)], deck, 0, 0, 0, TWO_POUND).total
    with_wood = buoyancy.level([(frp, 0.33), (wood, -0.81)], deck, 0, 0, 0, TWO_POUND).total
    assert with_wood <= bare
    assert buoyancy.level([(frp, 0.33), (wood, 0.33)], deck, 0, 0, 0, TWO_POUND).total >= bare


@given(masses, masses)
def test_capacity_under_the_persons_takes_nothing_off(persons: float, less: float) -> None:
    """Clev under the persons counts as zero.

    US Coast Guard, Boatbuilder's Handbook, Flotation, level, step 3.
    """
    none = buoyancy.level([], 0, 0, persons, 0, TWO_POUND).persons
    capped = buoyancy.level([], 0, 0, persons, max(persons - less, 0), TWO_POUND).persons
    assert capped == none


@given(masses, masses, st.lists(st.floats(0, 1e9), max_size=6))
def test_only_the_two_largest_chambers_count(
    persons: float, dead: float, chambers: list[float]
) -> None:
    """In whatever order they are given."""
    whole = buoyancy.basic(persons, persons + dead, chambers)
    two = sorted(chambers, reverse=True)[:2]
    assert whole == pytest.approx(buoyancy.basic(persons, persons + dead, two))


def test_refused() -> None:
    """No such wood, no such foam, no such load."""
    for wrong in (
        lambda: buoyancy.factor(0),
        lambda: buoyancy.lift(0),
        lambda: buoyancy.lift(buoyancy.WATER),
        lambda: buoyancy.lift(32_000, -1),
        lambda: buoyancy.level([(-1, 0.3)], 0, 0, 0, 0, TWO_POUND),
        lambda: buoyancy.level([], 0, 0, 0, 0, 0),
        lambda: buoyancy.basic(2, 1),
    ):
        with pytest.raises(Invalid) as caught:
            wrong()
        assert caught.value.advice
