"""A look ahead at the night: will what is laid down now get hard before it gets too cold?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf

import numpy as np

from .layer import Layer, Layers, together
from .temperature import Trace
from .ways import Ways


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
    """Whether one layer runs into the cold before it is hard."""
    return colds_ahead([layer], trace, uncertainty)[0]


def colds_ahead(
    layers: Sequence[Layer], trace: Trace, uncertainty: float
) -> list[ColdAhead | None]:
    """Whether layers run into the cold before they are hard, judged at the band's cold edge.

    Args:
        trace: of the bay from the first start on, or from before. uncertainty: of it, K.
    """
    return together(layers, lambda alike: _alike(alike, trace, uncertainty))


def _alike(alike: Sequence[Layer], trace: Trace, uncertainty: float) -> list[ColdAhead | None]:
    """Of layers of one sheet and law."""
    layers = Layers.of(alike)
    floor = layers.sheet.cure_min
    if floor is None:
        return [None] * len(alike)
    cold = Ways(layers, trace.shifted(-uncertainty), 0.0).middle
    begins = cold.clock.colds_since(cold.started, 0.0)
    if not np.isfinite(begins).any():
        return [None] * len(alike)
    begins = layers.soonest(np.where(cold.hard_each <= begins, inf, begins))
    warmed = Ways(layers, trace.at_least(floor), 0.0).middle.hard
    return [
        None if begin == inf else ColdAhead(floor, begin, None if until == inf else until)
        for begin, until in zip(begins.tolist(), warmed.tolist(), strict=True)
    ]
