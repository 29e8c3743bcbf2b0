"""Fairing: filler for a hollow, by area and depth, in coats no thicker than the filler allows.

V = A t (1 + waste); the filler that is laid proud and sanded off is counted separately (geometry).
"""

from __future__ import annotations

from math import ceil
from typing import Annotated

from ..amounts.quantities import SIZE, VOLUME
from ..amounts.views import View
from ..errors import Invalid
from ..frozen import frozen
from . import volumes

MOST_COATS = 50
"""A hollow that takes more coats than this is to be built up, not faired."""


@frozen
class Fairing(View):
    """The filler for a hollow.

    Attributes:
        coats: their number. coat: thickness of each. fill: the filler that stays. sanded: the
            filler that is sanded off. waste: left in the pot. mix: all three.
    """

    coats: int
    coat: Annotated[float, SIZE]
    fill: Annotated[float, VOLUME]
    sanded: Annotated[float, VOLUME]
    waste: Annotated[float, VOLUME]
    mix: Annotated[float, VOLUME]
    mix_a_coat: Annotated[float, VOLUME]


def fair(
    area: float,
    depth: float,
    coat_max: float,
    *,
    proud: float = 0.0,
    waste: float = volumes.USUAL_WASTE,
) -> Fairing:
    """Fill `area` mm² to a mean `depth` (µm), laid `proud` (µm) over it and sanded back.

    Args:
        coat_max: the thickest coat that the product allows, µm.

    Raises:
        Invalid: no area, depth or coat; proud below zero; over `MOST_COATS`; waste not 0 to 100.
    """
    if coat_max <= 0 or proud < 0:
        raise Invalid(
            "The coat's thickness must be over zero.", advice="Give the thickest coat over zero."
        )
    whole = volumes.layer(area, depth + proud)
    count = max(ceil(round((depth + proud) / coat_max, 9)), 1)
    if count > MOST_COATS:
        raise Invalid(
            f"That would take {count} coats.",
            advice=f"Build the hollow up first, to at most {MOST_COATS} coats.",
        )
    fill, left = volumes.layer(area, depth), volumes.waste(whole, waste)
    mix = whole + left
    return Fairing(count, (depth + proud) / count, fill, whole - fill, left, mix, mix / count)
