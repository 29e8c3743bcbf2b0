"""Tabbing: strips that bond a part in along a corner, stepped back ply by ply over a putty fillet.

Between two faces at an angle a, a fillet of radius r touches each face r cot(a/2) from the corner,
has the section r² (cot(a/2) - (π - a)/2), and is r (π - a) long around. A ply that reaches a leg L
up each face is therefore 2 (L - r cot(a/2)) + r (π - a) wide. Geometry; at 90° the section is
0.2146 r².
"""

from __future__ import annotations

import math

from ..amounts.sentences import size
from ..errors import Invalid
from ..frozen import frozen
from ..words import say
from .outlines import LONGEST, Outline
from .ply_count import MOST_PLIES

USUAL_STEP = 25_000
"""The step of each ply on each face, µm (marine repair handbooks, from memory: an inch a ply)."""


@frozen
class Fillet:
    """The putty in a corner.

    Attributes:
        radius: µm; 0 for a bare corner.
        angle: between the faces, degrees.

    Raises:
        Invalid: an impossible radius or angle.
    """

    radius: float
    angle: float = 90.0

    def __post_init__(self) -> None:
        """Check the figures."""
        if not 0 <= self.radius <= 500_000:
            raise Invalid(
                "The radius of a fillet must be at most 500 mm.",
                advice="Check the radius and its unit.",
            )
        if not 20 <= self.angle <= 170:
            raise Invalid(
                f"A corner of {self.angle:g}° can't be taped.",
                advice="Give the angle between the two faces, from 20 to 170; square is 90.",
            )

    @property
    def touches(self) -> float:
        """Distance from the corner to where it meets each face, µm."""
        return self.radius / math.tan(math.radians(self.angle) / 2)

    @property
    def around(self) -> float:
        """Length around its face, from one side to the other, µm."""
        return self.radius * (math.pi - math.radians(self.angle))

    @property
    def deep(self) -> float:
        """The thickness of the putty in the corner itself: r (1 / sin(a/2) - 1), µm."""
        return self.radius * (1 / math.sin(math.radians(self.angle) / 2) - 1)

    @property
    def section(self) -> float:
        """Its section, mm²."""
        return self.radius * (self.touches - self.around / 2) / 1e6


@frozen
class Tab:
    """One ply of a tabbing: a strip.

    Attributes:
        ply: its number in the order laid, from 1.
        leg: height that it reaches up each face from the corner, µm.
        outline: of the cloth.
    """

    ply: int
    leg: float
    outline: Outline


def tabs(
    length: float,
    plies: int,
    leg: float,
    fillet: Fillet,
    step: float = USUAL_STEP,
    widest_first: bool = True,
) -> list[Tab]:
    """The strips of one corner in the order laid; all sizes in µm.

    Args:
        leg: of the widest ply; each next one is a step shorter on each face.

    Raises:
        Invalid: impossible sizes, or a ply stepped back into the fillet.
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
            say(
                "Stepped back, the narrowest ply would reach {}, but the fillet alone reaches {}.",
                size(legs[-1], 0),
                size(fillet.touches, 0),
            ),
            advice="Give a longer leg, a smaller step, fewer plies or a smaller fillet.",
        )
    widths = [2 * (each - fillet.touches) + fillet.around for each in legs]
    laid = list(zip(legs, widths, strict=True))
    if not widest_first:
        laid.reverse()
    return [Tab(k, each, Outline("seam", length, wide)) for k, (each, wide) in enumerate(laid, 1)]


def putty(fillet: Fillet, length: float) -> float:
    """Putty for a fillet along a length (µm), µL."""
    return fillet.section * length / 1000
