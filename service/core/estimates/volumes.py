"""Volumes: of a layer over an area, its mass, and the waste that is mixed on top.

1 mm² by 1 µm is 0.001 µL, so 1 m² by 1 mm is 1 L, and 1 ft² by 1/8 in is 18 in³ (geometry).
"""

from __future__ import annotations

from ..amounts.quantities import GREATEST
from ..errors import CureSheetMissing, Invalid

USUAL_WASTE = 15.0
"""Percent mixed on top of the part for pot, roller and drips (an epoxy user guide, maker not named:
about 15 %)."""


def layer(area: float, thickness: float) -> float:
    """Volume in µL of a layer of `thickness` µm over `area` mm².

    Raises:
        Invalid: no area or no thickness, or over `GREATEST`.
    """
    if area <= 0 or thickness <= 0:
        raise Invalid(
            "The layer's area and thickness must be over zero.",
            advice="Check both, and their units.",
        )
    return plausible(area * thickness / 1000)


def mass(volume: float, density: float | None) -> float | None:
    """Mass in mg of `volume` µL at `density` mg/L; None if the density is not known.

    Raises:
        Invalid: over `GREATEST`.
    """
    return None if density is None else plausible(volume * density / 1e6)


def waste(amount: float, percent: float) -> float:
    """The waste that is mixed on top of `amount`, in the same unit.

    Raises:
        Invalid: under 0 or over 100 %.
    """
    if not 0 <= percent <= 100:
        raise Invalid(
            f"A waste of {percent:g} % is not possible.", advice="Give 0 to 100; about 15 is usual."
        )
    return amount * percent / 100


def plausible(amount: float) -> float:
    """The amount itself, checked.

    Raises:
        Invalid: over `GREATEST`.
    """
    if amount > GREATEST:
        raise Invalid("That is more than a yard has.", advice="Check the sizes, and their units.")
    return amount


def known(figure: float | None, name: str, why: str) -> float:
    """A figure that an estimate needs.

    Raises:
        CureSheetMissing: it is not known.
    """
    if figure is None:
        raise CureSheetMissing(
            f"The calculation needs '{name}': {why}.",
            advice=f"Give '{name}', or set it on the product.",
        )
    return figure
