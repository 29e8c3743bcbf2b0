"""A look ahead at the night: will what is laid down now get hard before it gets too cold?"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf

import numpy as np

from .milestones import Layer, hard_by
from .temperature import Trace, crossed


@dataclass(frozen=True)
class ColdAhead:
    """It gets too cold before it is hard.

    Attributes:
        floor: the least curing temperature, K. cold_from: when the bay goes under it.
        heat_until: until when the bay must be held at the floor, epoch s; None if even so
            it is not hard within what can be seen ahead.
    """

    floor: float
    cold_from: float
    heat_until: float | None


def cold_ahead(layer: Layer, trace: Trace, uncertainty: float) -> ColdAhead | None:
    """Whether a layup runs into the cold before it is hard, judged at the band's cold edge.

    Args:
        trace: of the bay from the layup's start on. uncertainty: of it, K.
    """
    floor = layer.sheet.cure_min
    if floor is None:
        return None
    cold = crossed(trace.shifted(-uncertainty), floor)
    under = np.flatnonzero(((cold.T[:-1] + cold.T[1:]) / 2 < floor) & (np.diff(cold.t) > 0))
    if not len(under):
        return None
    cold_from = float(cold.t[under[0]])
    if hard_by(layer, trace.shifted(-uncertainty)) <= cold_from:
        return None
    warmed = hard_by(layer, trace.at_least(floor))
    return ColdAhead(floor, cold_from, None if warmed == inf else warmed)
