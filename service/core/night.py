"""A look ahead at the night: will what is laid down now get hard before it gets too cold?"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf

from . import cure_clock
from .milestones import Layer, hard_by
from .temperature import Trace


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
        trace: of the bay from the layup's start on, or from before. uncertainty: of it, K.
    """
    floor, law = layer.sheet.cure_min, layer.law
    if floor is None:
        return None
    cold = trace.shifted(-uncertainty)
    clock = cure_clock.run(cold, law.E, layer.sheet.reference_temperature, floor)
    cold_from = clock.cold_since(0.0, max(layer.started, trace.start))
    if cold_from == inf or hard_by(layer, cold) <= cold_from:
        return None
    warmed = hard_by(layer, trace.at_least(floor))
    return ColdAhead(floor, cold_from, None if warmed == inf else warmed)
