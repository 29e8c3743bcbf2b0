"""A look ahead at the night: will a layer be hard before it gets too cold to cure?"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import ceil, inf

from .. import arrays as np
from ..arrays import Floats
from ..bays import heating
from ..bays.temperature import DAY_S, Trace
from ..frozen import frozen
from ..words import Text
from . import cure_clock
from .chance import Chances
from .clocks import Doubt
from .layer import Layer, by_law
from .layers import HARD_BY, Layers

LEAST_TOLD, WHOLE_FROM = 1e-3, 1e-2
"""Chances under the first are not told apart; those from the second on are told in whole percent.
"""
STEP_S = 15 * 60
"""Heating times are shown in quarters of an hour, rounded up so that no heat ends too soon."""


@frozen
class ColdAhead:
    """A layer gets too cold before it is hard.

    Attributes:
        floor: the least curing temperature, K. cold_from: when the bay goes below it, epoch s.
        hold: the temperature to keep the bay at instead, K: the floor plus the bay's uncertainty,
            or the sheet's reference temperature where that would take too long.
        heat_until: when the layer is hard at that temperature, epoch s; None if that is later
            than the trace reaches.
        chance: that it does go below the floor, before the layer is hard or within a day: the air
            is the trace's, give or take one difference that anybody may guess within its range.
    """

    floor: float
    cold_from: float
    hold: float
    heat_until: float | None
    chance: float

    @property
    def likely(self) -> str:
        """The chance, in words."""
        if self.chance < LEAST_TOLD:
            return "under 1 in 1000"
        return f"{100 * self.chance:.{0 if self.chance >= WHOLE_FROM else 1}f} %"

    def remedy(self, clock: Callable[[float], str]) -> Text:
        """How to heat the bay, in words; `clock` shows a moment."""
        if self.heat_until is None:
            return heating.hold(self.hold, None)
        return heating.hold(self.hold, clock(ceil(self.heat_until / STEP_S) * STEP_S))


def cold_ahead(layer: Layer, trace: Trace, doubt: Doubt, since: float = -inf) -> ColdAhead | None:
    """As `colds_ahead`, for one layer."""
    return colds_ahead([layer], trace, doubt, since)[0]


def colds_ahead(
    layers: Sequence[Layer], trace: Trace, doubt: Doubt, since: float = -inf
) -> list[ColdAhead | None]:
    """For each layer the cold that comes before it is surely hard, or None.

    Args:
        trace: of the bay, from the first start or earlier. doubt: how well it is known.
        since: the earliest moment that heating can begin, epoch s; earlier cold is past help.
    """
    return by_law(layers, lambda alike: _alike(alike, trace, doubt, since))


def _alike(
    alike: Sequence[Layer], trace: Trace, doubt: Doubt, since: float
) -> list[ColdAhead | None]:
    """For layers that share one sheet and law."""
    layers = Layers.of(alike)
    sheet, floor = layers.sheet, layers.sheet.cure_min
    if floor is None:
        return [None] * len(alike)
    begins = _cold_from(trace, layers, floor + doubt.ahead)
    if np.isinf(begins).all():
        return [None] * len(alike)
    hard = _surely_hard(layers, trace, doubt)
    begins = layers.soonest(np.where(hard <= begins, inf, begins))
    if np.isinf(begins).all():
        return [None] * len(alike)

    def hard_when_held(temperature: float) -> Floats:
        return layers.last(_surely_hard(layers, trace.at_least(temperature, since), doubt))

    least = heating.with_margin(floor, doubt.ahead, sheet.temperature_max)
    holds, untils = np.full(len(alike), least), hard_when_held(least)
    if np.isinf(untils).any() and least < sheet.reference_temperature:
        warmer = hard_when_held(sheet.reference_temperature)
        holds = np.where(np.isinf(untils), sheet.reference_temperature, holds)
        untils = np.where(np.isinf(untils), warmer, untils)
    columns = (begins, holds, untils, layers.last(hard))
    return [
        None
        if begin == inf
        else ColdAhead(
            floor,
            begin,
            hold,
            None if until == inf else until,
            _chance(trace, begin, min(by, begin + DAY_S), floor, doubt.ahead),
        )
        for begin, hold, until, by in zip(*(c.tolist() for c in columns), strict=True)
    ]


def _chance(trace: Trace, start: float, end: float, floor: float, half: float) -> float:
    """The chance that it goes below a floor (K), known to a range of so many K either way."""
    coldest = float(trace.between(start, min(end, trace.end)).T.min())
    return min(max((floor - coldest + half) / (2 * half), 0.0), 1.0) if half else 1.0


def _cold_from(trace: Trace, layers: Layers, level: float) -> Floats:
    """When each pot first lies under a level (K) after its mixing; infinite if never."""
    clock = cure_clock.run(trace, layers.law.E, layers.law.temperature, level)
    return clock.colds_since(np.maximum(layers.started, trace.start), 0.0)


def _surely_hard(layers: Layers, trace: Trace, doubt: Doubt) -> Floats:
    """When each pot is hard with the chance that the yard asks for; infinite if never."""
    chances = Chances(layers, trace, doubt)
    for name in HARD_BY:
        stage = layers.sheet.stage(name)
        if stage is not None:
            return np.asarray(chances.stage(name, stage).moment(np.array([doubt.sure]))[0])
    if np.isnan(layers.law.time):
        return np.full_like(layers.started, inf)
    reach = chances.gel() if layers.sheet.film_gel is None else chances.film()
    return np.asarray(reach.moment(np.array([doubt.sure]))[0])
