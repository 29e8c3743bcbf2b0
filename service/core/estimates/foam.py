"""Pour foam: a two-part kit for a cavity, in lifts no thicker than the product allows.

kit mass = volume x density in place. A lift that is too thick chars inside. A cavity without vents
bursts or stays half empty, so no figure is given before somebody has counted the vents.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from ..errors import Invalid
from . import volumes

WATER_DENSITY = 998_200.0
"""Fresh water at 20 °C, mg/L, for a cavity that is measured by weighing water."""
MOST_LIFTS = 60
"""The most lifts of one pour."""


@dataclass(frozen=True)
class Pour:
    """A cavity's foam.

    Attributes:
        volume: µL. lifts: their number. lift: thickness of each, µm, if the cavity is equally wide
            all the way up. kit: both parts that stay, mg. waste: left in the pots, mg.
    """

    volume: float
    lifts: int
    lift: float
    kit: float
    waste: float

    @property
    def mix(self) -> float:
        """All the foam to mix, mg."""
        return self.kit + self.waste


def box(length: float, width: float, depth: float) -> float:
    """Volume in µL of a box; sizes in µm.

    Raises:
        Invalid: no size, or one that is too big.
    """
    return prism(length * width / 1e6, depth)


def prism(section: float, length: float) -> float:
    """Volume in µL of a prism of a section (mm²) and a length (µm).

    Raises:
        Invalid: no size, or one that is too big.
    """
    return volumes.layer(section, length)


def by_water(mass: float) -> float:
    """Volume in µL of a cavity that a mass of water (mg) fills."""
    return mass / WATER_DENSITY * 1e6


def pour(
    volume: float,
    depth: float,
    lift: float,
    vents: int,
    density: float,
    *,
    waste: float = volumes.USUAL_WASTE,
) -> Pour:
    """Fill `volume` µL, `depth` µm from bottom to top, with foam of `density` mg/L in place.

    Args:
        lift: the thickest lift that the product allows, µm. vents: their number, as counted.

    Raises:
        Invalid: nothing to fill, no lift, no vent; over `MOST_LIFTS`; waste not 0 to 100.
    """
    if vents < 1:
        raise Invalid(
            "A cavity without a vent can't be poured: it bursts, or air stays in it.",
            advice="Drill vents at every high point, count them, and give the count.",
        )
    if min(volume, depth, lift, density) <= 0:
        raise Invalid(
            "The cavity, the lift and the density must be over zero.",
            advice="Check each, and its unit.",
        )
    lifts = max(ceil(round(depth / lift, 9)), 1)
    if lifts > MOST_LIFTS:
        raise Invalid(
            f"That would take {lifts} lifts.", advice=f"Check the lift: at most {MOST_LIFTS}."
        )
    kit = volumes.plausible(volumes.plausible(volume) * density / 1e6)
    return Pour(volume, lifts, depth / lifts, kit, volumes.waste(kit, waste))
