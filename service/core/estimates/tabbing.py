"""Tabbing: a part taped in along a corner, its plies stepped back, over a putty fillet.

Between two faces at an angle a, a fillet of radius r touches each face r cot(a/2) from the
corner, fills r² (cot(a/2) - (π - a)/2) of section, and is r (π - a) around. A ply that reaches
a leg L up each face is so 2 (L - r cot(a/2)) + r (π - a) wide. Geometry; at 90° the section is
0.2146 r².
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from ..amounts import sentences as worded
from ..errors import Invalid
from .outlines import LONGEST, Outline
from .ply_count import MOST_PLIES

USUAL_STEP = 25_000
"""That each ply is stepped back on each face, µm (marine repair handbooks: an inch a ply)."""


@dataclass(frozen=True)
class Fillet:
    """The putty in a corner.

    Attributes:
        radius: µm; nothing for a bare corner.
        angle: between the faces, degrees.

    Raises:
        Invalid: a radius or an angle that can't be.
    """

    radius: float
    angle: float = 90.0

    def __post_init__(self) -> None:
        """Refuse what is no corner."""
        if not 0 <= self.radius <= 500_000:
            raise Invalid("No fillet is over 500 mm.", advice="Check its radius and its unit.")
        if not 20 <= self.angle <= 170:
            raise Invalid(
                f"A corner of {self.angle:g}° can't be taped.",
                advice="Give the angle between the two faces, from 20 to 170; square is 90.",
            )

    @property
    def touches(self) -> float:
        """How far from the corner it meets each face, µm."""
        return self.radius / math.tan(math.radians(self.angle) / 2)

    @property
    def around(self) -> float:
        """Over its face from one side to the other, µm."""
        return self.radius * (math.pi - math.radians(self.angle))

    @property
    def section(self) -> float:
        """Of putty across it, mm²."""
        return self.radius * (self.touches - self.around / 2) / 1e6


@dataclass(frozen=True)
class Tab:
    """One ply of a tabbing, a strip.

    Attributes:
        ply: its number in the order laid, from 1.
        leg: how far it reaches up each face from the corner, µm.
        outline: of the cloth.
    """

    ply: int
    leg: float
    outline: Outline


def tabs(
    length: float, plies: int, leg: float, fillet: Fillet, step: float = USUAL_STEP,
    widest_first: bool = True,
) -> list[Tab]:  # fmt: skip
    """The strips of one corner in the order laid; all sizes in µm.

    Args:
        leg: of the widest ply; each other is a step shorter on each face.

    Raises:
        Invalid: sizes that can't be, or a ply stepped back into its fillet.
    """
    if not (0 < length <= LONGEST and 0 < leg <= LONGEST and 0 <= step <= LONGEST):
        raise Invalid(
            "A size must be over zero and at most 100 m.",
            advice="Check the numbers, and their units.",
        )
    if not 1 <= plies <= MOST_PLIES:
        raise Invalid("A tabbing has 1 to 200 plies.", advice="Check the count.")
    legs = [leg - step * k for k in range(plies)]
    if legs[-1] <= fillet.touches:
        raise Invalid(
            f"Stepped back, the narrowest ply would reach {worded.size(legs[-1], 0)}, and the "
            f"fillet alone {worded.size(fillet.touches, 0)}.",
            advice="Give a longer leg, a smaller step, fewer plies or a smaller fillet.",
        )
    widths = [2 * (each - fillet.touches) + fillet.around for each in legs]
    laid = list(zip(legs, widths, strict=True))
    if not widest_first:
        laid.reverse()
    return [Tab(k, each, Outline("seam", length, wide)) for k, (each, wide) in enumerate(laid, 1)]


def putty(fillet: Fillet, length: float) -> float:
    """Putty in a fillet along a length in µm, in µL."""
    return fillet.section * length / 1000
