"""Bedding: putty under a part or a core, as thick as the gap that it fills.

V = A t (1 + waste); what is squeezed out at the edges is in the waste (geometry).
"""

from __future__ import annotations

from typing import Annotated

from ..amounts.quantities import VOLUME
from ..amounts.views import View
from ..frozen import frozen
from . import volumes


@frozen
class Bedding(View):
    """The putty of a bed.

    Attributes:
        bed: the putty that stays. waste: left in the pot, or squeezed out. mix: both.
    """

    bed: Annotated[float, VOLUME]
    waste: Annotated[float, VOLUME]
    mix: Annotated[float, VOLUME]


def bed(area: float, thickness: float, *, waste: float = volumes.USUAL_WASTE) -> Bedding:
    """Bed `area` mm² on `thickness` µm of putty.

    Raises:
        Invalid: no area or thickness; a waste not 0 to 100.
    """
    stays = volumes.layer(area, thickness)
    left = volumes.waste(stays, waste)
    return Bedding(stays, left, stays + left)
