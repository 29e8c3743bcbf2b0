"""Buoyancy: how much foam keeps a swamped boat afloat.

Level flotation by the US Coast Guard, Boatbuilder's Handbook, Flotation, in lb and ft³:

    hull     Fb = (Wh K + Wd) / B
    engines  Fp = G / B
    persons  Fc = (0.5 (first 550 lb) + 0.125 (rest) + 0.25 (Clev - persons, not under 0)) / B

with K = (SG - 1)/SG, a material's weight under fresh water over its dry weight, and B, the lift of
a volume of foam: 62.4 lb/ft³ less its density and the water that it takes up. A material with K
below zero floats by itself, so wood saves foam. Basic flotation by 33 CFR 183.105: 2/15 of the
persons' capacity + 25 % of the dead weight + the lift of the two largest air chambers.

No result is a compliance figure: the rules have exceptions, and tests in water.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import Annotated

from ..amounts.quantities import VOLUME
from ..amounts.views import View
from ..errors import Invalid
from ..frozen import frozen

POUND = 453_592.37
"""mg."""
CUBIC_FOOT = 28.316846592
"""L."""
WATER = 62.4 * POUND / CUBIC_FOOT
"""Lift of a volume of air in fresh water, 62.4 lb/ft³, in mg/L (the handbook's)."""
FIRST_PERSONS = 550 * POUND
"""Persons up to here count half, and beyond an eighth; mg."""

K_OF: Mapping[str, float] = MappingProxyType(
    {"frp": 0.33, "aluminium": 0.63, "steel": 0.88, "abs": 0.11, "plywood": -0.81}
)
"""K of common materials, by the handbook, from memory; each is (SG - 1)/SG to a hundredth."""


@frozen
class Level(View):
    """Level flotation: the foam for the hull, the engines, the persons, and for all of them.

    The total is not under zero: a boat that floats needs no foam.
    """

    hull: Annotated[float, VOLUME]
    engines: Annotated[float, VOLUME]
    persons: Annotated[float, VOLUME]
    total: Annotated[float, VOLUME]


def factor(specific_gravity: float) -> float:
    """K of a material: its weight under fresh water over its dry weight; below zero it floats.

    Raises:
        Invalid: a specific gravity not 0.05 to 25.
    """
    if not 0.05 <= specific_gravity <= 25:
        raise Invalid(
            f"A specific gravity of {specific_gravity:g} is not possible.",
            advice="Give the density over that of water: wood about 0.55, steel 7.85.",
        )
    return (specific_gravity - 1) / specific_gravity


def lift(foam_density: float, take_up: float = 0.0) -> float:
    """B: the lift of a litre of foam in mg, less its own weight and the water in it.

    Args:
        foam_density, take_up: of the foam in place, and of the water that it takes up, mg/L.

    Raises:
        Invalid: the foam carries nothing, or weighs nothing.
    """
    if foam_density <= 0 or take_up < 0 or foam_density + take_up >= WATER:
        raise Invalid(
            "Foam with those figures carries nothing.",
            advice="Give its density in place and its water take-up: together less than water's.",
        )
    return WATER - foam_density - take_up


def level(
    hull: Iterable[tuple[float, float]],
    dry: float,
    engines: float,
    persons: float,
    capacity: float,
    carries: float,
) -> Level:
    """Level flotation of a boat; masses in mg.

    Args:
        hull: (dry mass under the swamped waterline, K) of each material. dry: deck and
            superstructure, at their full weight. engines: swamped weight of engine and battery;
            0 by oar. persons: their capacity. capacity: Clev, weight capacity less what the
            handbook's table takes off for the engine. carries: B, mg/L.

    Raises:
        Invalid: a mass below zero, or no lift.
    """
    parts = list(hull)
    if min([dry, engines, persons, *(mass for mass, _ in parts)]) < 0 or carries <= 0:
        raise Invalid("A mass is below zero.", advice="Give what each weighs dry.")
    under = sum(mass * k for mass, k in parts)
    first = min(persons, FIRST_PERSONS)
    carried = 0.5 * first + 0.125 * (persons - first) + 0.25 * max(capacity - persons, 0.0)
    litres = 1e6 / carries
    foam = (under + dry) * litres, engines * litres, carried * litres
    return Level(*foam, total=max(sum(foam), 0.0))


def basic(persons: float, weight_capacity: float, chambers: Iterable[float] = ()) -> float:
    """Buoyancy in mg that 33 CFR 183.105 asks for.

    Args:
        persons: their capacity, mg. weight_capacity: the greatest, mg; all but the persons is
            dead weight. chambers: volumes of all air chambers, µL; the two largest count.

    Raises:
        Invalid: persons below zero, or over the weight capacity.
    """
    if not 0 <= persons <= weight_capacity:
        raise Invalid(
            "The persons weigh more than the boat's greatest weight capacity.",
            advice="Give both as they are on the capacity label.",
        )
    largest = sorted(chambers)[-2:]
    dead = weight_capacity - persons
    return persons * 2 / 15 + 0.25 * dead + WATER * sum(largest) / 1e6
