"""A look ahead at the night: will what is laid down now get hard before it gets too cold?"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import ceil, inf

import numpy as np

from ..bays import heating
from ..bays.temperature import Floats, Trace
from .layer import Layer, Layers, together
from .scenarios import Ways

STEP_S = 15 * 60
"""What a clock time after gel is good to: up to the next quarter, so that no heat ends too soon."""


@dataclass(frozen=True)
class ColdAhead:
    """It gets too cold before it is hard.

    Attributes:
        floor: the least curing temperature, K. cold_from: when the bay goes under it.
        hold: how warm to keep the bay instead, K: the floor and the bay's uncertainty; where
            that is not enough in time, the sheet's reference temperature.
        heat_until: when it is hard if the bay is held so, epoch s; None if even so it is not
            hard within what can be seen ahead.
    """

    floor: float
    cold_from: float
    hold: float
    heat_until: float | None

    def remedy(self, clock: Callable[[float], str]) -> str:
        """What to do about it, in words; `clock` shows a moment."""
        if self.heat_until is None:
            return heating.hold(self.hold, None)
        return heating.hold(self.hold, clock(ceil(self.heat_until / STEP_S) * STEP_S))


def cold_ahead(
    layer: Layer, trace: Trace, uncertainty: float, since: float = -inf
) -> ColdAhead | None:
    """Whether one layer runs into the cold before it is hard."""
    return colds_ahead([layer], trace, uncertainty, since)[0]


def colds_ahead(
    layers: Sequence[Layer], trace: Trace, uncertainty: float, since: float = -inf
) -> list[ColdAhead | None]:
    """Whether layers run into the cold before they are hard, judged at the band's cold edge.

    Args:
        trace: of the bay from the first start on, or from before. uncertainty: of it, K.
        since: when heating can begin at the earliest, epoch s: the cold before that is past.
    """
    return together(layers, lambda alike: _alike(alike, trace, uncertainty, since))


def _alike(
    alike: Sequence[Layer], trace: Trace, uncertainty: float, since: float
) -> list[ColdAhead | None]:
    """Of layers of one sheet and law."""
    layers = Layers.of(alike)
    sheet, floor = layers.sheet, layers.sheet.cure_min
    if floor is None:
        return [None] * len(alike)
    cold = Ways(layers, trace.shifted(-uncertainty), 0.0).middle
    begins = cold.clock.colds_since(cold.started, 0.0)
    if not np.isfinite(begins).any():
        return [None] * len(alike)
    begins = layers.soonest(np.where(cold.hard_each <= begins, inf, begins))
    if np.isinf(begins).all():
        return [None] * len(alike)

    def hard_when_held(temperature: float) -> Floats:
        heated = trace.at_least(temperature, since).shifted(-uncertainty)
        return Ways(layers, heated, 0.0).middle.hard

    least = heating.with_margin(floor, uncertainty, sheet.temperature_max)
    holds, untils = np.full(len(alike), least), hard_when_held(least)
    if np.isinf(untils).any() and least < sheet.reference_temperature:
        warmer = hard_when_held(sheet.reference_temperature)
        holds = np.where(np.isinf(untils), sheet.reference_temperature, holds)
        untils = np.where(np.isinf(untils), warmer, untils)
    columns = (begins, holds, untils)
    return [
        None if begin == inf else ColdAhead(floor, begin, hold, None if until == inf else until)
        for begin, hold, until in zip(*(c.tolist() for c in columns), strict=True)
    ]
