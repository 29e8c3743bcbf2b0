"""Layups drawn at random, and what really became of them: truth for the bands to be tried on.

Drawn from the model of the budget (JCGM 101:2008, propagation by drawing): sheet, pair, lot and
pot normal; the activation energy, the temperature's one offset, the order in catalyst and how much
of a late gel a later stage follows rectangular. The clock is the exact one of steps.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from cureyard_service.core.arrays import Floats
from cureyard_service.core.cure.chance import Chances, Reach
from cureyard_service.core.cure.clocks import Doubt
from cureyard_service.core.cure.layer import LaidPot, Layer
from cureyard_service.core.cure.layers import Layers
from cureyard_service.core.products import gel_law
from cureyard_service.core.products.cure_sheet import CureSheet, GelPoint, Mix, StageTime
from cureyard_service.core.products.evidence import Belief, R
from scipy.stats import norm, uniform

from ..makers import HOUR, MIN, kelvin, trace

DRAWS = 4000
REFERENCE = kelvin(20)
GEL, OPENS, CLOSES = 25 * MIN, 3 * HOUR, 9 * HOUR
SHEET = CureSheet(
    Mix("catalysed"), "plain", ("mekp-9",),
    reference_temperature=REFERENCE, reference_percent=1.0,
    gel_points=(GelPoint(REFERENCE, 1.0, GEL, GEL),),
    stages=(("recoat_opens", StageTime(OPENS)), ("recoat_closes", StageTime(CLOSES))),
)  # fmt: skip
LAW = gel_law.fit(SHEET.gel_points)
Steps = tuple[tuple[float, float], ...]
"""°C from some hours on."""
STEADY: Steps = ((0, 20),)
DAY_AND_NIGHT: Steps = tuple(
    (24 * d + h, T) for d in range(9) for h, T in ((0, 19), (3, 15), (15, 22))
)
LONG_H = 240.0


@dataclass(frozen=True)
class Truth:
    """Draws of what is not known, one entry for each layup.

    Attributes:
        off: K that the bay is warmer than it is said to be. E: J/mol. S: ln of the true gel time
            over the sheet's, at its own percent. n: order in catalyst. opens, closes: noise of the
            opening and of the closing. follows: how much of an expected late gel they follow.
    """

    off: Floats
    E: Floats
    S: Floats
    n: Floats
    opens: Floats
    closes: Floats
    follows: Floats

    def expected(self, percent: float) -> float:
        """M of the model: what a dose makes of S, as expected."""
        return float(-np.log(percent))

    def gel(self, steps: Steps, percent: float = 1.0, floor: float = -300.0) -> Floats:
        """When each gels in a cup, s."""
        S = self.S - self.n * np.log(percent)
        return self._reached(GEL * np.exp(S), steps, floor)

    def opening(self, steps: Steps, percent: float = 1.0, floor: float = -300.0) -> Floats:
        """When each opens, s."""
        return self._later(OPENS, self.opens, steps, percent, floor)

    def closing(self, steps: Steps, percent: float = 1.0) -> Floats:
        """When each closes, s: its clock never stands still."""
        return self._later(CLOSES, self.closes, steps, percent, -300.0)

    def _later(
        self, time: float, stage: Floats, steps: Steps, percent: float, floor: float
    ) -> Floats:
        M = self.expected(percent)
        beside = self.S - self.n * np.log(percent) - M
        return self._reached(time * np.exp(beside + self.follows * M + stage), steps, floor)

    def _reached(self, ages: Floats, steps: Steps, floor: float) -> Floats:
        """When an age is reached: exact, for it grows evenly in each step."""
        begins = np.array([hour for hour, _ in steps]) * HOUR
        heat = kelvin(np.array([celsius for _, celsius in steps])) + self.off[:, None]  # type: ignore[arg-type,operator]
        rates = np.exp(-self.E[:, None] / R * (1 / heat - 1 / REFERENCE))
        rates = np.where(heat < kelvin(floor), 0.0, rates)
        shown = np.cumsum(rates[:, :-1] * np.diff(begins), axis=1)
        shown = np.hstack([np.zeros((len(ages), 1)), shown])
        place = (shown <= ages[:, None]).sum(axis=1) - 1
        rows = np.arange(len(ages))
        with np.errstate(divide="ignore"):
            return np.asarray(begins[place] + (ages - shown[rows, place]) / rates[rows, place])


def drawn(kelvins: float, seed: int = 1, count: int = DRAWS, lot: float = 0.08) -> Truth:
    """Draws from the model; a lot may be wider than it is believed to be."""
    rng = np.random.default_rng(seed)

    def normal(sd: float) -> Floats:
        return np.asarray(norm.rvs(scale=sd, size=count, random_state=rng))

    def evenly(low: float, high: float) -> Floats:
        return np.asarray(uniform.rvs(low, high - low, size=count, random_state=rng))

    S = normal(0.05) + normal(0.0866) + normal(lot) + normal(0.054)
    return Truth(
        evenly(-kelvins, kelvins), evenly(40e3, 60e3), S, evenly(0.5, 1.5), normal(0.12),
        normal(0.12), evenly(0.5, 1.0),
    )  # fmt: skip


def told(
    steps: Steps, kelvins: float, percent: float = 1.0, sheet: CureSheet = SHEET,
    believed: Belief | None = None, law: gel_law.GelLaw = LAW, **looks: float,
) -> Chances:  # fmt: skip
    """The chances of a layer of one pot; looks are of its pot, or of the layer."""
    of_pot = {k: v for k, v in looks.items() if k.endswith(("wet_at", "wet_before", "gelled_at"))}
    of_layer = {k: v for k, v in looks.items() if k not in of_pot}
    pot = replace(LaidPot(percent, believed or law.belief(), 0.0), **of_pot)
    laid = replace(Layer(sheet, law, (pot,), 0.0, "plain"), **of_layer)
    hours, heats = [hour for hour, _ in steps], [T for _, T in steps]
    knots = [*np.repeat(hours, 2)[1:].tolist(), LONG_H]
    air = trace(knots, np.repeat(heats, 2).tolist())
    return Chances(Layers.of([laid]), air, Doubt.steady(kelvins))


def opening(chances: Chances) -> Reach:
    """How its window opens."""
    return chances.stage("recoat_opens", StageTime(OPENS))


def closing(chances: Chances) -> Reach:
    """How its window shuts."""
    return chances.closing(StageTime(CLOSES))


def beyond(moments: Floats, reach: Reach, p: float) -> tuple[float, float]:
    """The shares, in percent, of true moments before the early edge, and after the late one.

    Args:
        p: the chance at the early edge. moments: of which an infinite one is never.
    """
    early, late = reach.moment(np.array([p, 1 - p]))[:, 0]
    return 100 * float((moments < early).mean()), 100 * float((moments > late).mean())
