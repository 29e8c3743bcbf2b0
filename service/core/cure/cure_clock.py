"""The cure clock: time weighted by temperature, the equivalent-age method.

    dτ/dt = exp(-(E/R) (1/T - 1/T_ref)),  zero while T is under the floor

A milestone whose data-sheet time at T_ref is D is reached when τ = D. The rate is the age factor
of equivalent age: fib Model Code 2020 eq. 14.6-80; Freiesleben Hansen & Pedersen (1977), cited by
Schindler, ACI Mater. J. 101-M09 (2004).

The integral is exact to 1e-6: the trace is cut at every crossing of the floor and into pieces of
at most `STEP_K`, over each of which Simpson's rule errs by less than (E STEP_K / R T²)⁴ / 2880.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cached_property
from math import ceil, inf
from typing import cast

from .. import arrays as np
from ..arrays import Flags, Floats, Places
from ..bays.temperature import Trace, crossed
from ..frozen import frozen
from ..products.evidence import R

Index = Places

STEP_K = 1.0
BLOCK = 16_384
"""So many knots at a time stay in the processor's cache."""
NEWTON = 3
"""Steps of Newton's rule: the rate is smooth within a piece, so three are enough."""


@frozen
class Clock:
    """Equivalent age along a trace, cumulative from its start.

    Attributes:
        t, T: knots after cutting, epoch s and K. pieces: equivalent s between them, as if
            there were no floor. E: J/mol. T_ref, floor: K.
    """

    t: Floats
    T: Floats
    pieces: Floats
    E: float
    T_ref: float
    floor: float

    @cached_property
    def age(self) -> Floats:
        """Equivalent s at each knot."""
        counted = np.where(self._stalls, 0.0, self.pieces) if self._stalls.any() else self.pieces
        return np.concatenate([[0.0], np.cumsum(counted)])

    @cached_property
    def unstalled(self) -> Clock:
        """The same clock without a floor."""
        return replace(self, floor=-inf) if self._stalls.any() else self

    def age_at(self, moment: float) -> float:
        """Equivalent seconds from the trace's start to a moment within it."""
        return float(self.ages_at(np.array([moment]))[0])

    def ages_at(self, moments: Floats) -> Floats:
        """As `age_at`, for an array of moments."""
        i = np.clip(np.searchsorted(self.t, moments, side="right"), 1, len(self.t) - 1)
        return self.age[i - 1] + self._within(i)(moments)[0]

    def reach(self, target: float) -> float:
        """The moment at which the age is `target` equivalent s; infinite if never."""
        return float(self.reaches(np.array([target]))[0])

    def reaches(self, targets: Floats) -> Floats:
        """As `reach`, for an array of targets of any shape."""
        found = np.where(targets <= 0, self.t[0], inf)
        inside = (targets > 0) & (targets <= self.age[-1])
        aims = targets[inside]
        if aims.size:
            found[inside] = self._reached(aims)
        return found

    def _reached(self, aims: Floats) -> Floats:
        i = np.searchsorted(self.age, aims, side="left")
        a, b, done = self.t[i - 1], self.t[i], self.age[i - 1]
        moments = a + (aims - done) / (self.age[i] - done) * (b - a)
        within = self._within(i)
        for _ in range(NEWTON):
            grown, speed = within(moments)
            moments = np.clip(moments - (done + grown - aims) / speed, a, b)
        return moments

    def cold_seconds(self, until: float) -> float:
        """Seconds under the floor from the start to a moment."""
        return float(np.interp(until, self.t, self.cold))

    def cold_since(self, length: float, start: float | None = None) -> float:
        """The moment at which the time under the floor exceeds `length` s; infinite if never.

        Args:
            start: when counting begins, epoch s; by default the start of the trace.
        """
        if not self.cold[-1]:
            return inf
        begin = self.t[:1] if start is None else np.array([start])
        return float(self.colds_since(begin, length)[0])

    def colds_since(self, starts: Floats, length: float) -> Floats:
        """As `cold_since`, for an array of starts."""
        if not self._stalls.any():
            return np.full_like(starts, inf)
        allowed = np.interp(starts, self.t, self.cold) + length
        i = np.searchsorted(self.cold, allowed, side="right")
        inside = np.minimum(i, len(self.t) - 1)
        return np.where(i == len(self.cold), inf, self.t[inside] - (self.cold[inside] - allowed))

    @cached_property
    def cold(self) -> Floats:
        """Seconds under the floor up to each knot."""
        return np.concatenate([[0.0], np.cumsum(np.where(self._stalls, np.diff(self.t), 0.0))])

    @cached_property
    def _stalls(self) -> Flags:
        """For each segment, whether it lies under the floor; none crosses it."""
        if self.T.min() >= self.floor:
            return np.zeros(len(self.T) - 1, bool)
        return np.asarray((self.T[:-1] + self.T[1:]) / 2 < self.floor)

    def _within(self, i: Index) -> Callable[[Floats], tuple[Floats, Floats]]:
        """A function of moments between the knots i - 1 and i.

        It gives the equivalent s since knot i - 1, by the same rule as `_simpson`, and the rate.
        """
        a, T = self.t[i - 1], self.T[i - 1]
        length = self.t[i] - a
        slope = np.divide(self.T[i] - T, length, out=np.zeros_like(length), where=length > 0)
        first, counts = arrhenius(T, self.E, self.T_ref), ~self._stalls[i - 1]

        def grown(moments: Floats) -> tuple[Floats, Floats]:
            since = moments - a
            rise = slope * since
            half, last = (arrhenius(T + r, self.E, self.T_ref) for r in (rise / 2, rise))
            return counts * since / 6 * (first + 4 * half + last), last

        return grown


def run(trace: Trace, E: float, T_ref: float, floor: float | None) -> Clock:
    """The clock along a trace, worked out once for each law.

    Args:
        E: activation energy, J/mol. T_ref: the temperature that it counts in, K.
        floor: least curing temperature, K; None for a clock that never stalls.
    """
    law = (E, T_ref, floor)
    if law not in trace.kept:
        trace.kept[law] = _run(trace, E, T_ref, floor)
    return cast(Clock, trace.kept[law])


def _run(trace: Trace, E: float, T_ref: float, floor: float | None) -> Clock:
    low = -inf if floor is None else floor
    cut = _cut(trace if floor is None else crossed(trace, low))
    return Clock(cut.t, cut.T, _simpson(cut.t, cut.T, E, T_ref), E, T_ref, low)


def arrhenius(T: Floats, E: float, T_ref: float) -> Floats:
    """The age factor of `gel_law.rate`, for an array of temperatures in K."""
    return np.asarray(np.exp(-E / R * (1 / T - 1 / T_ref)))


def _simpson(t: Floats, T: Floats, E: float, T_ref: float) -> Floats:
    """Equivalent seconds of each segment, over which T is linear."""
    found = np.empty(len(t) - 1)
    for first in range(0, len(found), BLOCK):
        here = slice(first, first + BLOCK + 1)
        knots = arrhenius(T[here], E, T_ref)
        middle = arrhenius((T[here][:-1] + T[here][1:]) / 2, E, T_ref)
        found[first : first + BLOCK] = np.diff(t[here]) / 6 * (knots[:-1] + 4 * middle + knots[1:])
    return found


def _cut(trace: Trace) -> Trace:
    """The same trace in pieces that change by at most `STEP_K` each."""
    if not len(trace.slopes) or max(trace.slopes.max(), -trace.slopes.min()) <= STEP_K:
        return trace
    rise = np.where(np.diff(trace.t) > 0, np.abs(trace.slopes), 0.0)
    pieces = np.maximum(np.ceil(rise / STEP_K), 1).astype(int)
    owner = np.repeat(np.arange(len(pieces)), pieces)
    step = np.arange(ceil(pieces.sum())) - np.repeat(np.cumsum(pieces) - pieces, pieces)
    share = step / pieces[owner]
    return Trace(
        np.append(trace.t[owner] + share * np.diff(trace.t)[owner], trace.t[-1]),
        np.append(trace.T[owner] + share * trace.slopes[owner], trace.T[-1]),
        trace.measured[owner],
    )
