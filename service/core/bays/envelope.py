"""The coolest and the hottest of several temperature traces, moment by moment."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

from .. import arrays as np
from ..arrays import Flags, Floats
from .temperature import Trace


def coolest(traces: Sequence[Trace]) -> Trace:
    """At each moment the lowest of some traces over one stretch; measured where all of them are."""
    return _envelope(traces, lowest=True)


def hottest(traces: Sequence[Trace]) -> Trace:
    """As `coolest`, the highest."""
    return _envelope(traces, lowest=False)


def _envelope(traces: Sequence[Trace], *, lowest: bool) -> Trace:
    if len(traces) == 1:
        return traces[0]
    start, end = max(each.start for each in traces), min(each.end for each in traces)
    cut = [each.between(start, end) for each in traces]
    knots = np.unique(np.concatenate([each.t for each in cut]))
    knots = np.unique(np.concatenate([knots, *_crossings(cut, knots)]))
    pick = np.minimum if lowest else np.maximum
    begins = pick.reduce([each.ats(knots[:-1]) for each in cut])
    ends = pick.reduce([_before(each, knots[1:]) for each in cut])
    middles = (knots[:-1] + knots[1:]) / 2
    measured = np.logical_and.reduce([_is_measured(each, middles) for each in cut])
    t = np.repeat(knots, 2)[1:-1]
    T = np.column_stack([begins, ends]).ravel()
    joints = np.repeat(measured, 2)[:-1]  # a joint of no length is as the segment before it
    return Trace(t, T, joints)


def _crossings(traces: Sequence[Trace], knots: Floats) -> list[Floats]:
    """The moments between two knots at which two traces cross."""
    begins = [each.ats(knots[:-1]) for each in traces]
    ends = [_before(each, knots[1:]) for each in traces]
    found = []
    for one, other in combinations(range(len(traces)), 2):
        first, last = begins[one] - begins[other], ends[one] - ends[other]
        where = np.flatnonzero(first * last < 0)
        share = first[where] / (first[where] - last[where])
        found.append(knots[where] + share * np.diff(knots)[where])
    return found


def _before(trace: Trace, moments: Floats) -> Floats:
    """The temperature just before each moment: at a step, the earlier value."""
    i = np.clip(np.searchsorted(trace.t, moments, side="left"), 1, len(trace.t) - 1)
    length = trace.t[i] - trace.t[i - 1]
    inside = np.clip(moments - trace.t[i - 1], 0.0, length)
    share = np.divide(inside, length, out=np.ones_like(moments), where=length > 0)
    return np.asarray(trace.T[i - 1] + share * (trace.T[i] - trace.T[i - 1]))


def _is_measured(trace: Trace, moments: Floats) -> Flags:
    i = np.clip(np.searchsorted(trace.t, moments, side="right") - 1, 0, len(trace.measured) - 1)
    return trace.measured[i]
