"""The cure clock: time weighted by temperature, the equivalent-age method.

    dτ/dt = exp(-(E/R) (1/T - 1/T_ref)),  zero while T is under the floor

A milestone whose data-sheet time at T_ref is D is reached when τ = D. The integral is
exact to 1e-6: the trace is cut at every crossing of the floor and into pieces of at most
`STEP_K`, over each of which Simpson's rule errs by less than (E STEP_K / R T²)⁴ / 2880.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, inf

import numpy as np

from .gel_law import R
from .temperature import Floats, Trace, crossed

STEP_K = 1.0


@dataclass(frozen=True)
class Clock:
    """Equivalent age along a trace, cumulative from its start.

    Attributes:
        t, T: knots after cutting, epoch s and K. age: equivalent s at each knot.
        E, T_ref, floor: the law that made it.
    """

    t: Floats
    T: Floats
    age: Floats
    E: float
    T_ref: float
    floor: float

    def age_at(self, moment: float) -> float:
        """Equivalent seconds from the trace's start to a moment within it."""
        i = int(np.clip(np.searchsorted(self.t, moment, side="right"), 1, len(self.t) - 1))
        return float(self.age[i - 1]) + self._within(i, moment)

    def reach(self, target: float) -> float:
        """The moment at which the age is `target` equivalent s; infinite if never."""
        if target <= 0:
            return float(self.t[0])
        if target > self.age[-1]:
            return inf
        i = int(np.searchsorted(self.age, target, side="left"))
        a, b = float(self.t[i - 1]), float(self.t[i])
        span = float(self.age[i] - self.age[i - 1])
        moment = a + (target - float(self.age[i - 1])) / span * (b - a)
        for _ in range(3):  # Newton: the rate is smooth within a cut, so three do
            miss = float(self.age[i - 1]) + self._within(i, moment) - target
            speed = float(arrhenius(np.array(self._kelvin(i, moment)), self.E, self.T_ref))
            moment = min(max(moment - miss / speed, a), b)
        return moment

    def cold_seconds(self, until: float) -> float:
        """Seconds from the start to a moment spent under the floor."""
        lengths = np.diff(np.clip(self.t, None, until))
        return float(lengths[_cold(self.T, self.floor)].sum())

    def cold_since(self, length: float) -> float:
        """The moment at which the time under the floor adds up to more than `length` s."""
        lengths = np.where(_cold(self.T, self.floor), np.diff(self.t), 0.0)
        total = np.cumsum(lengths)
        i = int(np.searchsorted(total, length, side="right"))
        if i == len(total):
            return inf
        return float(self.t[i + 1]) - (float(total[i]) - length)

    def _kelvin(self, i: int, moment: float) -> float:
        a, b = self.t[i - 1], self.t[i]
        share = (moment - a) / (b - a) if b > a else 0.0
        return float(self.T[i - 1] + share * (self.T[i] - self.T[i - 1]))

    def _within(self, i: int, moment: float) -> float:
        t = np.array([self.t[i - 1], moment])
        T = np.array([self.T[i - 1], self._kelvin(i, moment)])
        return float(_simpson(t, T, self.E, self.T_ref, self.floor)[0])


def run(trace: Trace, E: float, T_ref: float, floor: float | None) -> Clock:
    """Run the clock along a trace.

    Args:
        E: activation energy, J/mol. T_ref: the temperature that it counts in, K.
        floor: least curing temperature, K; None where the clock never stalls.
    """
    low = -inf if floor is None else floor
    cut = _cut(trace if floor is None else crossed(trace, low))
    pieces = _simpson(cut.t, cut.T, E, T_ref, low)
    age = np.concatenate([[0.0], np.cumsum(pieces)])
    return Clock(cut.t, cut.T, age, E, T_ref, low)


def arrhenius(T: Floats, E: float, T_ref: float) -> Floats:
    """The age factor of an array of temperatures in K; see `gel_law.rate`."""
    return np.asarray(np.exp(-E / R * (1 / T - 1 / T_ref)))


def _cold(T: Floats, floor: float) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    """For each segment, whether it lies under the floor (it never straddles it)."""
    return np.asarray((T[:-1] + T[1:]) / 2 < floor)


def _simpson(t: Floats, T: Floats, E: float, T_ref: float, floor: float) -> Floats:
    """Equivalent seconds of each segment, linear in T, none straddling the floor."""
    knots = arrhenius(T, E, T_ref)
    middle = arrhenius((T[:-1] + T[1:]) / 2, E, T_ref)
    area = np.diff(t) / 6 * (knots[:-1] + 4 * middle + knots[1:])
    return np.where(_cold(T, floor), 0.0, area)


def _cut(trace: Trace) -> Trace:
    """The same trace in pieces that change by at most `STEP_K` each."""
    rise = np.where(np.diff(trace.t) > 0, np.abs(trace.slopes), 0.0)
    if not len(rise) or rise.max() <= STEP_K:
        return trace
    pieces = np.maximum(np.ceil(rise / STEP_K), 1).astype(int)
    owner = np.repeat(np.arange(len(pieces)), pieces)
    step = np.arange(ceil(pieces.sum())) - np.repeat(np.cumsum(pieces) - pieces, pieces)
    share = step / pieces[owner]
    return Trace(
        np.append(trace.t[owner] + share * np.diff(trace.t)[owner], trace.t[-1]),
        np.append(trace.T[owner] + share * trace.slopes[owner], trace.T[-1]),
        trace.measured[owner],
    )
