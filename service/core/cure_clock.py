"""The cure clock: time weighted by temperature, the equivalent-age method.

    dτ/dt = exp(-(E/R) (1/T - 1/T_ref)),  zero while T is under the floor

A milestone whose data-sheet time at T_ref is D is reached when τ = D. The integral is
exact to 1e-6: the trace is cut at every crossing of the floor and into pieces of at most
`STEP_K`, over each of which Simpson's rule errs by less than (E STEP_K / R T²)⁴ / 2880.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from math import ceil, inf
from typing import cast

import numpy as np
from numpy.typing import NDArray

from .gel_law import R, rate
from .temperature import Floats, Trace, crossed

Index = NDArray[np.intp]

STEP_K = 1.0
NEWTON = 3
"""Steps of Newton's rule: the rate is smooth within a cut, so three do."""


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
        i = min(max(int(np.searchsorted(self.t, moment, side="right")), 1), len(self.t) - 1)
        return float(self.age[i - 1]) + self._since_knot(i, moment)[0]

    def ages_at(self, moments: Floats) -> Floats:
        """As `age_at`, for many moments at once."""
        i = np.clip(np.searchsorted(self.t, moments, side="right"), 1, len(self.t) - 1)
        return self.age[i - 1] + self._within(i, moments)

    def reach(self, target: float) -> float:
        """The moment at which the age is `target` equivalent s; infinite if never."""
        if target <= 0:
            return float(self.t[0])
        if target > self.age[-1]:
            return inf
        i = int(np.searchsorted(self.age, target, side="left"))
        a, b = float(self.t[i - 1]), float(self.t[i])
        done, span = float(self.age[i - 1]), float(self.age[i] - self.age[i - 1])
        moment = a + (target - done) / span * (b - a)
        for _ in range(NEWTON):
            grown, speed = self._since_knot(i, moment)
            moment = min(max(moment - (done + grown - target) / speed, a), b)
        return moment

    def reaches(self, targets: Floats) -> Floats:
        """As `reach`, for many targets at once."""
        found = np.where(targets <= 0, self.t[0], inf)
        inside = np.flatnonzero((targets > 0) & (targets <= self.age[-1]))
        if not len(inside):
            return found
        aims = targets[inside]
        i = np.searchsorted(self.age, aims, side="left")
        a, b, done = self.t[i - 1], self.t[i], self.age[i - 1]
        moments = a + (aims - done) / (self.age[i] - done) * (b - a)
        for _ in range(NEWTON):
            miss = done + self._within(i, moments) - aims
            speed = arrhenius(self._kelvin(i, moments), self.E, self.T_ref)
            moments = np.clip(moments - miss / speed, a, b)
        found[inside] = moments
        return found

    def cold_seconds(self, until: float) -> float:
        """Seconds from the start to a moment spent under the floor."""
        return float(np.interp(until, self.t, self.cold))

    def cold_since(self, length: float, start: float | None = None) -> float:
        """The moment at which the time under the floor adds up to more than `length` s.

        Counted from `start`, or from the trace's; infinite if never.
        """
        if not self.cold[-1]:
            return inf
        begin = self.t[:1] if start is None else np.array([start])
        return float(self.colds_since(begin, length)[0])

    def colds_since(self, starts: Floats, length: float) -> Floats:
        """As `cold_since`, counted from each of many starts."""
        allowed = np.interp(starts, self.t, self.cold) + length
        i = np.searchsorted(self.cold, allowed, side="right")
        inside = np.minimum(i, len(self.t) - 1)
        return np.where(i == len(self.cold), inf, self.t[inside] - (self.cold[inside] - allowed))

    @cached_property
    def cold(self) -> Floats:
        """Seconds under the floor up to each knot."""
        lengths = np.where(_cold(self.T, self.floor), np.diff(self.t), 0.0)
        return np.concatenate([[0.0], np.cumsum(lengths)])

    def _since_knot(self, i: int, moment: float) -> tuple[float, float]:
        """Equivalent s from knot i - 1 to a moment before knot i, and the rate at the moment.

        Of one moment in plain floats, which is three times as quick as arrays of one.
        """
        a, T = float(self.t[i - 1]), float(self.T[i - 1])
        length = float(self.t[i]) - a
        rise = (moment - a) / length * (float(self.T[i]) - T) if length > 0 else 0.0
        last = rate(T + rise, self.E, self.T_ref)
        if T + rise / 2 < self.floor:
            return 0.0, last
        first, half = rate(T, self.E, self.T_ref), rate(T + rise / 2, self.E, self.T_ref)
        return (moment - a) / 6 * (first + 4 * half + last), last

    def _kelvin(self, i: Index, moments: Floats) -> Floats:
        a, b = self.t[i - 1], self.t[i]
        length = b - a
        share = np.divide(moments - a, length, out=np.zeros_like(moments), where=length > 0)
        return self.T[i - 1] + share * (self.T[i] - self.T[i - 1])

    def _within(self, i: Index, moments: Floats) -> Floats:
        """Equivalent s from the knot before to each moment, by the same rule as `_simpson`."""
        from_T, to_T = self.T[i - 1], self._kelvin(i, moments)
        middle = (from_T + to_T) / 2
        first, half, last = (arrhenius(T, self.E, self.T_ref) for T in (from_T, middle, to_T))
        area = (moments - self.t[i - 1]) / 6 * (first + 4 * half + last)
        return np.where(middle < self.floor, 0.0, area)


def run(trace: Trace, E: float, T_ref: float, floor: float | None) -> Clock:
    """Run the clock along a trace; once, however many layers lay in it.

    Args:
        E: activation energy, J/mol. T_ref: the temperature that it counts in, K.
        floor: least curing temperature, K; None where the clock never stalls.
    """
    law = (E, T_ref, floor)
    if law not in trace.kept:
        trace.kept[law] = _run(trace, E, T_ref, floor)
    return cast(Clock, trace.kept[law])


def _run(trace: Trace, E: float, T_ref: float, floor: float | None) -> Clock:
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
