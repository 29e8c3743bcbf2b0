"""The vapour pressure of the air around a layup: what was read, what was not, and what is ahead.

    e = RH × 6.1094 exp(17.625 T / (243.04 + T)) hPa, T in °C

Magnus over water (Alduchov & Eskridge, J. Appl. Meteor. 35:601-609, 1996). Air that is warmed keeps
its e and loses humidity, so e is what is carried ahead, and never RH.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple

from .. import arrays as np
from ..amounts.quantities import ZERO_C
from ..arrays import Flags, Floats
from ..frozen import frozen
from .dew_point import MAGNUS_A, MAGNUS_B
from .temperature import Trace

MAGNUS_HPA = 6.1094
"""The pressure at 0 °C over water, hPa."""
GAP_S = 2 * 3600
"""The longest time between two readings of the humidity that counts as known."""
DAY_S = 86_400
STEP_S = 600
"""Between two knots, at most."""


class Humid(NamedTuple):
    """A reading of the air's vapour: its moment (epoch s) and hPa."""

    at: float
    e: float


@frozen
class Vapour:
    """The air around a layup in stretches: temperature (K) and vapour pressure (hPa) at their ends.

    Attributes:
        t: the knots, epoch s; the others have an entry for each stretch between two of them.
        unread: the stretches that are past and in which nobody read the humidity; there `begins`
            and `ends` say nothing.
        ahead: those to come, at the last day's `mean`, which is None if nothing was read in it.
        gaps: from when until when nobody read it.
    """

    t: Floats
    warm_begins: Floats
    warm_ends: Floats
    begins: Floats
    ends: Floats
    unread: Flags
    ahead: Flags
    mean: float | None
    gaps: tuple[tuple[float, float], ...]


def saturated(T: Floats) -> Floats:
    """The vapour pressure of saturated air at T (K), hPa."""
    t = T - ZERO_C
    return np.asarray(MAGNUS_HPA * np.exp(MAGNUS_A * t / (MAGNUS_B + t)))


def pressure(T: float, humidity_percent: float) -> float:
    """The vapour pressure of air at T (K) and a relative humidity in percent, hPa."""
    return float(saturated(np.array([T]))[0]) * humidity_percent / 100


def around(trace: Trace, read: Sequence[Humid], start: float, now: float) -> Vapour:
    """The air along a trace, from a start to the trace's end.

    Between two readings that are at most `GAP_S` apart the vapour pressure is straight; it holds
    as long before the first and after the last. In a longer gap it is not known. From `now` on it
    is the last day's mean, at most saturated.

    Args:
        read: in the order of time; those before the start and after the end help.
        start, now: epoch s.
    """
    read = [each for each in read if each.at <= now]
    t = _knots(trace, read, start, now)
    gaps = _gaps([each.at for each in read], start, min(now, trace.end))
    mean = _day_mean(read, now)
    begins, ends = t[:-1], t[1:]
    middles = (begins + ends) / 2
    ahead = middles > now
    unread = np.zeros(len(middles), bool)
    for since, until in gaps:
        unread |= (middles > since) & (middles < until)
    warm = trace.ats(t)
    at = np.array([each.at for each in read] or [start])
    e = np.array([each.e for each in read] or [0.0])
    held = np.interp(t, at, e)
    carried = np.minimum(0.0 if mean is None else mean, saturated(warm))
    return Vapour(
        t=t,
        warm_begins=warm[:-1],
        warm_ends=warm[1:],
        begins=np.where(ahead, carried[:-1], held[:-1]),
        ends=np.where(ahead, carried[1:], held[1:]),
        unread=unread,
        ahead=ahead,
        mean=mean,
        gaps=gaps,
    )


def _knots(trace: Trace, read: Sequence[Humid], start: float, now: float) -> Floats:
    own = trace.t[(trace.t > start) & (trace.t < trace.end)]
    moments = [each.at for each in read] + [now]
    inside = [each for each in moments if start < each < trace.end]
    regular = np.arange(start, trace.end, STEP_S)
    return np.asarray(np.unique(np.concatenate([regular, own, inside, [trace.end]])))


def _gaps(read: Sequence[float], start: float, until: float) -> tuple[tuple[float, float], ...]:
    """The stretches between a start and an end that no readings bridge."""
    if until <= start:
        return ()
    if not read:
        return ((start, until),)
    edges = [(min(start, read[0]), read[0]), *pairwise(read), (read[-1], until)]
    long = [(max(a, start), min(b, until)) for a, b in edges if b - a > GAP_S]
    return tuple((a, b) for a, b in long if b > a)


def _day_mean(read: Sequence[Humid], now: float) -> float | None:
    """The mean of the last day's readings over time, or of a lone one; hPa."""
    day = [each for each in read if each.at > now - DAY_S]
    if not day:
        return None
    held = [(b.at - a.at, (a.e + b.e) / 2) for a, b in pairwise(day) if 0 < b.at - a.at <= GAP_S]
    whole = sum(length for length, _ in held)
    if not whole:
        return sum(each.e for each in day) / len(day)
    return sum(length * e for length, e in held) / whole
