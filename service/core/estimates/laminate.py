"""Laminate: thickness, fibre and resin of a stack of plies.

A ply of dry weight w (kg/m²) and fibre mass fraction p has the thickness, in mm,

    t = w (1/2.56 + (1 - p)/(p d))

with fibre of 2.56 kg/L (glass) and cured resin of d kg/L. At d = 1.20 this is, term by term,
ISO 12215-5's t = w/3.072 (2.56/p - 1.36). The resin weighs w (1 - p)/p. The formula and the usual
fractions are from ISO 12215-5:2008, Annex C, from memory and not read again.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import Literal

from ..errors import CureSheetMissing, Invalid
from ..frozen import frozen

Fabric = Literal["mat", "woven", "multidirectional", "unidirectional"]
Surface = Literal["simple", "complex"]
Method = Literal["each_ply", "combination"]

TURNING: frozenset[Fabric] = frozenset(("mat", "woven"))
"""Fabrics with the same fibre in both directions; others may only be turned by half a turn."""
FABRICS: tuple[Fabric, ...] = ("mat", "woven", "multidirectional", "unidirectional")
SURFACES: tuple[Surface, ...] = ("simple", "complex")
METHODS: tuple[Method, ...] = ("each_ply", "combination")

FIBRE_DENSITY = 2.56
"""Of glass fibre, kg/L."""
RESIN_DENSITY = 1.20
"""Of cured resin where the product has no figure, kg/L."""
LEAST_FRACTION, MOST_FRACTION = 0.1, 0.75
"""The least and the greatest fibre mass fraction of a laminate made by hand."""

USUAL: Mapping[Fabric, tuple[float, float]] = MappingProxyType(
    {
        "mat": (0.30, 0.25),
        "woven": (0.48, 0.36),
        "multidirectional": (0.50, 0.38),
        "unidirectional": (0.55, 0.41),
    }
)
"""Fibre fraction of hand lay-up on a (simple, complex) surface (from memory, see above)."""

_COMBINED = ((0.46, 0.18), (0.35, 0.11))
"""(a, b) of the combination formula, a - b R, for a simple and for a complex surface."""


@frozen
class Ply:
    """One ply.

    Attributes:
        areal_weight: dry, mg/m².
        fibre_fraction: by mass.
        fabric: None if it is not known.
    """

    areal_weight: float
    fibre_fraction: float
    fabric: Fabric | None = None

    def __post_init__(self) -> None:
        """Check the figures.

        Raises:
            Invalid: no weight, over 10 kg/m², or a fraction outside 0.1 to 0.75.
        """
        if not 0 < self.areal_weight <= 10_000_000:
            raise Invalid(
                "A ply's weight must be over zero and at most 10 kg/m².",
                advice="Give its dry weight per area, such as '450 g/m2'.",
            )
        if not LEAST_FRACTION <= self.fibre_fraction <= MOST_FRACTION:
            raise Invalid(
                f"No laminate has a fibre fraction of {self.fibre_fraction:g}.",
                advice="Give fibre's share of the mass, from 0.1 to 0.75: mat by hand is about "
                "0.3, cloth about 0.5.",
            )


@frozen
class Laminate:
    """A cured stack of plies.

    Attributes:
        method: of computing its plies.
        thickness: cured, µm.
        fibre, resin: mg/m².
    """

    method: Method
    thickness: float
    fibre: float
    resin: float

    @property
    def fibre_fraction(self) -> float:
        """Fibre's share of the mass."""
        return self.fibre / (self.fibre + self.resin)


def usual_fraction(fabric: Fabric | None, surface: Surface = "simple") -> float:
    """The fibre fraction of a fabric laid by hand.

    Raises:
        CureSheetMissing: the fabric is not known.
    """
    if fabric is None:
        raise CureSheetMissing(
            "A ply has neither a fibre fraction nor a fabric.",
            advice=f"Set the product's fibre_fraction, or say which fabric: {', '.join(FABRICS)}.",
        )
    return USUAL[fabric][SURFACES.index(surface)]


def thickness(areal_weight: float, fibre_fraction: float, density: float = RESIN_DENSITY) -> float:
    """Cured thickness in µm.

    Args:
        areal_weight: of the fibre, mg/m². density: of the cured resin, kg/L.
    """
    resin = (1 - fibre_fraction) / (fibre_fraction * density)
    return areal_weight / 1000 * (1 / FIBRE_DENSITY + resin)


def each_ply(plies: Sequence[Ply], density: float = RESIN_DENSITY) -> Laminate:
    """The stack as the sum of its plies, each with its own fibre fraction.

    Raises:
        Invalid: no plies, or a density that no resin has.
    """
    _check(plies, density)
    return Laminate(
        "each_ply",
        sum(thickness(ply.areal_weight, ply.fibre_fraction, density) for ply in plies),
        sum(ply.areal_weight for ply in plies),
        sum(ply.areal_weight * (1 - ply.fibre_fraction) / ply.fibre_fraction for ply in plies),
    )


def is_combination(plies: Sequence[Ply]) -> bool:
    """Whether the stack is mat and cloth together, and nothing else."""
    fabrics = {ply.fabric for ply in plies}
    return (
        "mat" in fabrics
        and bool(fabrics & {"woven", "multidirectional"})
        and (fabrics <= {"mat", "woven", "multidirectional"})
    )


def combination(
    plies: Sequence[Ply], surface: Surface = "simple", density: float = RESIN_DENSITY
) -> Laminate:
    """The stack as one combination of mat and cloth: p = 0.46 - 0.18 R (0.35 - 0.11 R complex).

    R is the mat's share of the dry mass. The plies' own fractions are not used (ISO 12215-5, see
    above).

    Raises:
        Invalid: it is not mat and cloth together; otherwise as `each_ply`.
    """
    _check(plies, density)
    if not is_combination(plies):
        raise Invalid(
            "A combination is mat together with woven or multidirectional cloth.",
            advice="Say each ply's fabric, or count each ply with its own fraction.",
        )
    fibre = sum(ply.areal_weight for ply in plies)
    share = sum(ply.areal_weight for ply in plies if ply.fabric == "mat") / fibre
    most, slope = _COMBINED[SURFACES.index(surface)]
    fraction = most - slope * share
    resin = fibre * (1 - fraction) / fraction
    return Laminate("combination", thickness(fibre, fraction, density), fibre, resin)


def _check(plies: Sequence[Ply], density: float) -> None:
    if not plies:
        raise Invalid("The stack has no plies.", advice="Name at least one ply.")
    if not 0.8 <= density <= 2.5:
        raise Invalid(
            f"No cured resin has a density of {density:g} kg/L.",
            advice="Correct the resin's cured density; unfilled resin is about 1.2 kg/L.",
        )
