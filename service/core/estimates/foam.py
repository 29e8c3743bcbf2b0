"""Pour foam: a two-part kit for a cavity, in lifts no thicker than the product allows.

kit mass = volume x density in place. A lift that is too thick chars inside. A cavity without vents
bursts or stays half empty, so no figure is given before somebody has counted the vents.
"""

from __future__ import annotations

from math import ceil
from typing import Annotated, Any

from ..amounts.quantities import MASS, SIZE, VOLUME, Given
from ..amounts.views import View
from ..errors import Invalid
from ..frozen import frozen
from . import volumes

WATER_DENSITY = 998_200.0
"""Fresh water at 20 °C, mg/L, for a cavity that is measured by weighing water."""
MOST_LIFTS = 60
"""More than that is no pour."""
NOT_COMPLIANCE = "Not a compliance figure: flotation rules have exceptions, and tests in water."
_SIZES = {"box": ("length", "width"), "prism": ("section", "length"), "water": ("water",)}


@frozen
class Pour(View):
    """A cavity's foam.

    Attributes:
        lifts: their number. lift: thickness of each, in a cavity that is as wide all the way up.
        kit: both parts, as they stay in the cavity. waste: left in the pots. mix: kit and waste.
    """

    volume: Annotated[float, VOLUME]
    lifts: int
    lift: Annotated[float, SIZE]
    kit: Annotated[float, MASS]
    waste: Annotated[float, MASS]
    mix: Annotated[float, MASS]
    mix_a_lift: Annotated[float, MASS]


def volume(cavity: str, depth: float, sizes: dict[str, Any]) -> float:
    """Volume in µL of a cavity, of the sizes that its shape has and no others.

    Args:
        cavity: `box` (length, width), `prism` (section, length) or `water` (the amount of water
            that filled it).
        depth: µm. sizes: µm, a section in mm².

    Raises:
        Invalid: a size is missing, or the shape does not have it.
    """
    wanted = _SIZES[cavity]
    for name in wanted:
        if name not in sizes:
            raise Invalid(f"A cavity of the kind {cavity} needs {' and '.join(wanted)}.",
                          advice=f"Give '{name}'.", pointer=f"/{name}")  # fmt: skip
    for name in sizes:
        if name not in wanted:
            raise Invalid(f"A cavity of the kind {cavity} takes no {name}.",
                          advice=f"Give {' and '.join(wanted)}.", pointer=f"/{name}")  # fmt: skip
    if cavity == "box":
        return box(sizes["length"], sizes["width"], depth)
    if cavity == "prism":
        return prism(sizes["section"], sizes["length"])
    water: Given = sizes["water"]
    return by_water(float(water.value)) if water.kind is MASS else float(water.value)


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
    left = volumes.waste(kit, waste)
    mix = kit + left
    return Pour(volume, lifts, depth / lifts, kit, left, mix, mix / lifts)


def cautions(cavity: str, poured: Pour) -> list[str]:
    """Cautions on a pour into a cavity of a shape."""
    found = [NOT_COMPLIANCE]
    if cavity != "box" and poured.lifts > 1:
        found.append(
            "The lifts are equal shares of the mass: where the cavity is narrow a share rises "
            "higher than the lift. Mark the lift inside and pour less there."
        )
    if poured.lifts > 1:
        found.append("Let each lift rise and cool before the next.")
    return [*found, "Isocyanate: the right mask, and air through the shop."]
