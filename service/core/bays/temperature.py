"""The temperature around a layup: readings where there are any, the bay's pattern elsewhere.

A trace is piecewise linear. Between two readings it is straight. Across a gap longer than the
bay's limit, and after the last reading, it follows the bay's pattern until the next reading. Within
that limit it goes straight to a pattern that a hand told. Along one that the bay's own log tells by
the hour, what the reading was warmer or colder fades: a heater that goes on by the log is seen at
once.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import replace
from functools import cached_property
from math import inf
from typing import Any, ClassVar, Literal, Protocol, cast

from .. import arrays as np
from ..arrays import Flags, Floats
from ..frozen import frozen

Basis = Literal["measured", "mixed", "assumed"]

DAY_S = 86_400


class Pattern(Protocol):
    """What a bay is taken to be where nobody measured it; moments in epoch s, temperatures in K.

    Attributes:
        is_logged: whether a log tells it, hour by hour.
    """

    is_logged: ClassVar[bool]

    def at(self, moment: float) -> float:
        """The temperature at a moment."""

    def steps(self, start: float, end: float) -> tuple[Floats, Floats]:
        """Knots from `start` to `end`: constant stretches, sharp steps."""


@frozen
class Trace:
    """Piecewise-linear temperature: knots `t` (epoch s, never falling) and `T` (K).

    Two knots at one moment are a sharp step. `measured` has one entry for each segment, so it is
    one shorter than the knots. So has `halves`, how well each is known: the half-width of its
    range, K; None where all of it is known alike.
    """

    t: Floats
    T: Floats
    measured: Flags
    halves: Floats | None = None

    @property
    def start(self) -> float:
        """First moment, epoch s."""
        return float(self.t[0])

    @property
    def end(self) -> float:
        """Last moment, epoch s."""
        return float(self.t[-1])

    def at(self, moment: float) -> float:
        """Temperature at a moment, K; after a step, the later value."""
        i = int(np.searchsorted(self.t, moment, side="right"))
        if i == 0:
            return float(self.T[0])
        if i == len(self.t):
            return float(self.T[-1])
        share = (moment - self.t[i - 1]) / (self.t[i] - self.t[i - 1])
        return float(self.T[i - 1] + share * (self.T[i] - self.T[i - 1]))

    def ats(self, moments: Floats) -> Floats:
        """As `at`, for an array of moments."""
        i = np.clip(np.searchsorted(self.t, moments, side="right"), 1, len(self.t) - 1)
        length = self.t[i] - self.t[i - 1]
        inside = np.clip(moments - self.t[i - 1], 0.0, length)
        share = np.divide(inside, length, out=np.ones_like(moments), where=length > 0)
        return self.T[i - 1] + share * (self.T[i] - self.T[i - 1])

    def between(self, start: float, end: float) -> Trace:
        """The part from `start` to `end`, cut exactly; both inside the trace."""
        i = int(np.searchsorted(self.t, start, side="right"))
        j = int(np.searchsorted(self.t, end, side="left"))
        t = np.concatenate([[start], self.t[i:j], [end]])
        last = self.T[j] if j < len(self.t) and self.t[j] == end else self.at(end)
        T = np.concatenate([[self.at(start)], self.T[i:j], [last]])
        kept = slice(max(i - 1, 0), max(i - 1, 0) + len(t) - 1)
        halves = None if self.halves is None else self.halves[kept]
        return Trace(t, T, self.measured[kept], halves)

    def then(self, other: Trace) -> Trace:
        """This trace followed by another, as for a layup that was moved to another bay."""
        halves = None
        if self.halves is not None and other.halves is not None:
            halves = np.concatenate([self.halves, [0.0], other.halves])
        return Trace(
            np.concatenate([self.t, other.t]),
            np.concatenate([self.T, other.T]),
            np.concatenate([self.measured, [True], other.measured]),
            halves,
        )

    def known_to(self, measured: float, ahead: float) -> Trace:
        """The same, known to so many K where it was measured and where it was not."""
        return replace(self, halves=np.where(self.measured, measured, ahead))

    def shifted(self, difference: float) -> Trace:
        """The same trace, warmer or colder throughout by a difference in K; made once."""
        if not difference:
            return self
        if difference not in self.kept:
            self.kept[difference] = Trace(self.t, self.T + difference, self.measured)
        return cast(Trace, self.kept[difference])

    def at_least(self, floor: float, since: float = -inf) -> Trace:
        """The same trace in a bay heated to at least `floor` K from a moment (epoch s) on."""
        if since >= self.end:
            return self
        if since > self.start:
            heated = self.between(since, self.end).at_least(floor)
            return self.between(self.start, since).then(heated)
        cut = crossed(self, floor)
        return replace(cut, T=np.maximum(cut.T, floor))

    def from_surface(self, surface: float, settling: float, since: float) -> Trace:
        """The trace of a part that was `surface` K warm at a moment and settles to the bay's air.

        The difference fades in a straight line over `settling` seconds, which count as measured.
        Before the moment it is assumed to have been the same.

        Args:
            since: the moment, epoch s, within the trace.
        """
        fade_end = min(since + settling, self.end)
        cut = crossed_at(crossed_at(self, since), fade_end)
        left = np.clip((since + settling - cut.t) / settling, 0.0, 1.0)
        fading = (cut.t[:-1] < fade_end) & (cut.t[1:] > since)
        T = cut.T + (surface - self.at(since)) * left
        return replace(cut, T=T, measured=cut.measured | fading)

    def mean(self) -> float:
        """Its mean over time, K."""
        lengths = np.diff(self.t)
        return float((lengths * (self.T[:-1] + self.T[1:]) / 2).sum() / lengths.sum())

    def basis(self, start: float, end: float) -> Basis:
        """Whether a stretch (epoch s) was measured throughout, in part, or not at all."""
        return self.bases(np.array([start]), np.array([end]))[0]

    def bases(self, starts: Floats, ends: Floats) -> list[Basis]:
        """As `basis`, for arrays of stretches."""
        known, whole = self._measured(starts, ends)
        measured = (whole > 0) & (known >= whole - 1e-6)
        bases = np.where(measured, "measured", np.where(known <= 1e-6, "assumed", "mixed"))
        return cast("list[Basis]", bases.tolist())

    def measured_share(self, start: float, end: float) -> float:
        """The share of a stretch that was measured, 0 to 1."""
        known, whole = self._measured(np.array([start]), np.array([end]))
        return float(known[0] / whole[0]) if whole[0] else 0.0

    def _measured(self, starts: Floats, ends: Floats) -> tuple[Floats, Floats]:
        """For each stretch, its measured seconds and its length within the trace, s."""
        return (
            np.interp(ends, self.t, self._known) - np.interp(starts, self.t, self._known),
            np.minimum(ends, self.end) - np.maximum(starts, self.start),
        )

    @cached_property
    def _known(self) -> Floats:
        """Seconds measured up to each knot."""
        if self.measured.all():
            return np.asarray(self.t - self.t[0])
        return np.concatenate([[0.0], np.cumsum(np.diff(self.t) * self.measured)])

    @cached_property
    def kept(self) -> dict[Any, Any]:
        """Results to be used again, by what they were worked out for: shifted traces, clocks."""
        return {}

    @cached_property
    def slopes(self) -> Floats:
        """Temperature change along each segment, K."""
        return np.diff(self.T)


def crossed(trace: Trace, level: float) -> Trace:
    """The same trace with a knot wherever it crosses a level in K."""
    if trace.T.min() >= level:
        return trace
    below, above = trace.T[:-1] - level, trace.T[1:] - level
    where = np.flatnonzero((below * above < 0) & (np.diff(trace.t) > 0))
    if not len(where):
        return trace
    share = below[where] / (below[where] - above[where])
    moments = trace.t[where] + share * np.diff(trace.t)[where]
    return Trace(
        np.insert(trace.t, where + 1, moments),
        np.insert(trace.T, where + 1, level),
        np.insert(trace.measured, where, trace.measured[where]),
        None if trace.halves is None else np.insert(trace.halves, where, trace.halves[where]),
    )


def crossed_at(trace: Trace, moment: float) -> Trace:
    """The same trace with a knot at a moment inside it."""
    i = int(np.searchsorted(trace.t, moment, side="left"))
    if i == 0 or i == len(trace.t) or trace.t[i] == moment:
        return trace
    return Trace(
        np.insert(trace.t, i, moment),
        np.insert(trace.T, i, trace.at(moment)),
        np.insert(trace.measured, i - 1, trace.measured[i - 1]),
        None if trace.halves is None else np.insert(trace.halves, i - 1, trace.halves[i - 1]),
    )


def trace_of(
    moments: Sequence[float] | Floats,
    temperatures: Sequence[float] | Floats,
    patterns: Pattern,
    start: float,
    end: float,
    gap_max: float,
) -> Trace:
    """The temperature of a bay from `start` to `end`.

    Args:
        moments, temperatures: its readings, epoch s rising and K; readings outside the stretch
            help, as the last one before `start` fixes the beginning.
        patterns: its temperature where nobody measured it.
        gap_max: the longest time in s between two readings that a straight line may bridge.
    """
    t, T = np.asarray(moments, float), np.asarray(temperatures, float)
    keep = (t > start - gap_max) & (t < end + gap_max)
    t, T = t[keep], T[keep]
    begin, finish = min(start, t[0]) if len(t) else start, max(end, t[-1]) if len(t) else end
    parts: list[Trace] = []
    if len(t) == 0 or begin < t[0]:
        parts.append(_assumed(*patterns.steps(begin, t[0] if len(t) else finish)))
    ends = np.flatnonzero(np.diff(t) > gap_max)
    runs = np.split(np.arange(len(t)), ends + 1) if len(t) else []
    for first, last in ((int(run[0]), int(run[-1])) for run in runs):
        run = slice(first, last + 1)
        parts.append(Trace(t[run], T[run], np.ones(last - first, bool)))
        until = float(t[last + 1]) if last + 1 < len(t) else finish
        if until > t[last]:
            parts.append(_onto_pattern(float(t[last]), float(T[last]), patterns, until, gap_max))
    return _joined(parts).between(start, end)


def temperature_at(
    moments: Sequence[float],
    temperatures: Sequence[float],
    patterns: Pattern,
    moment: float,
    gap_max: float,
) -> float:
    """The temperature of a bay at one moment, K: as a trace has it, without making the trace.

    Args: as `trace_of`.
    """
    after = bisect_left(moments, moment)
    if after < len(moments) and moments[after] == moment:
        return temperatures[after]
    if after == 0 or moment - moments[after - 1] >= gap_max:
        return patterns.at(moment)
    t, T = moments[after - 1], temperatures[after - 1]
    if after < len(moments) and moments[after] - t <= gap_max:
        return _straight(t, T, moments[after], temperatures[after], moment)
    if patterns.is_logged:
        return patterns.at(moment) + (T - patterns.at(t)) * (1 - (moment - t) / gap_max)
    return _straight(t, T, t + gap_max, patterns.at(t + gap_max), moment)


def _straight(t: float, T: float, then: float, other: float, moment: float) -> float:
    return T + (moment - t) / (then - t) * (other - T)


def _onto_pattern(t: float, T: float, patterns: Pattern, until: float, gap_max: float) -> Trace:
    """From a last reading to the pattern within `gap_max`, then along it to `until`."""
    met = t + gap_max
    if patterns.is_logged:
        along = crossed_at(_assumed(*patterns.steps(t, until)), met)
        left = np.clip((met - along.t) / gap_max, 0.0, 1.0)
        return replace(along, T=along.T + (T - along.T[0]) * left)
    if met >= until:
        end = _straight(t, T, met, patterns.at(met), until)
        return _assumed(np.array([t, until]), np.array([T, end]))
    after_t, after_T = patterns.steps(met, until)
    return _assumed(np.concatenate([[t], after_t]), np.concatenate([[T], after_T]))


def _assumed(t: Floats, T: Floats) -> Trace:
    return Trace(t, T, np.zeros(len(t) - 1, bool))


def _joined(parts: list[Trace]) -> Trace:
    """Traces end to end; a joint of no length has the basis of the later part."""
    if len(parts) == 1:
        return parts[0]
    joints = [np.concatenate([[False], p.measured]) for p in parts[1:]]
    return Trace(
        np.concatenate([p.t for p in parts]),
        np.concatenate([p.T for p in parts]),
        np.concatenate([parts[0].measured, *joints]),
    )
