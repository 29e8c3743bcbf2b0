"""Flotation by the US Coast Guard and 33 CFR 183.105.

Sources: US Coast Guard, Boatbuilder's Handbook, Flotation (modified level; level, steps 3 and 4),
for the formulas and B; 33 CFR 183.105. The handbook's table of factors is from memory, and checked
against (SG - 1)/SG. Its numeric example was not at hand: the boats are worked by hand.
"""

from __future__ import annotations

import pytest
from cureyard_service.core.estimates import buoyancy
from cureyard_service.core.estimates.buoyancy import CUBIC_FOOT, POUND

PER_FT3 = POUND / CUBIC_FOOT


def cubic_feet(microlitres: float) -> float:
    """µL in ft³."""
    return microlitres / 1e6 / CUBIC_FOOT


def test_the_lift_of_air_and_of_foam() -> None:
    """62.4 lb/ft³; foam of 2 lb/ft³ 60.4 before the water that it takes up."""
    assert pytest.approx(62.4) == buoyancy.WATER / PER_FT3
    assert buoyancy.lift(2 * PER_FT3) / PER_FT3 == pytest.approx(60.4)
    assert buoyancy.lift(2 * PER_FT3, 0.4 * PER_FT3) / PER_FT3 == pytest.approx(60.0)


@pytest.mark.parametrize(
    ("material", "gravity", "exact"),
    [("frp", 1.5, 0.333), ("aluminium", 2.7, 0.630), ("steel", 7.85, 0.873),
     ("abs", 1.12, 0.107), ("plywood", 0.55, -0.818)],
)  # fmt: skip
def test_factors(material: str, gravity: float, exact: float) -> None:
    """The table's factor is the material's own to a hundredth; wood's is below zero."""
    assert buoyancy.factor(gravity) == pytest.approx(exact, abs=6e-4)
    assert buoyancy.K_OF[material] == pytest.approx(exact, abs=0.01)


def test_a_hull_by_hand() -> None:
    """(600 lb x 0.33 + 200 lb) / 60.4 = 398 / 60.4 = 6.589 ft³."""
    foam = buoyancy.level([(600 * POUND, 0.33)], 200 * POUND, 0, 0, 0, buoyancy.lift(2 * PER_FT3))
    assert cubic_feet(foam.hull) == pytest.approx(6.589, abs=5e-4)
    assert foam.total == foam.hull


def test_engines_and_persons_by_hand() -> None:
    """Engine 302 lb / 60.4 = 5 ft³. Persons 750 lb of Clev 1000 lb.

    (0.5 x 550 + 0.125 x 200 + 0.25 x 250) / 60.4 = (275 + 25 + 62.5) / 60.4 = 6.002 ft³.
    """
    foam = buoyancy.level([], 0, 302 * POUND, 750 * POUND, 1000 * POUND, buoyancy.lift(2 * PER_FT3))
    assert cubic_feet(foam.engines) == pytest.approx(5.0)
    assert cubic_feet(foam.persons) == pytest.approx(6.002, abs=5e-4)
    assert foam.total == pytest.approx(foam.engines + foam.persons)


def test_basic_flotation_by_hand() -> None:
    """Persons 600 lb, capacity 1000 lb, chambers of 1, 2 and 3 ft³.

    2/15 x 600 + 0.25 x 400 + 62.4 x (2 + 3) = 80 + 100 + 312 = 492 lb.
    """
    chambers = [feet * CUBIC_FOOT * 1e6 for feet in (1, 3, 2)]
    asked = buoyancy.basic(600 * POUND, 1000 * POUND, chambers)
    assert asked / POUND == pytest.approx(492)
