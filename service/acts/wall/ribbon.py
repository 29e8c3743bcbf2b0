"""A layup's ribbon of time: the stretch that is worth seeing, and the air over it."""

from __future__ import annotations

from itertools import groupby
from operator import itemgetter
from typing import Any

import numpy as np

from ...core.bays.temperature import Trace
from ..cure.show import show_layup
from ..cure.watch import Watched

BACK_S, AHEAD_S = 24 * 3600, 36 * 3600
"""How far back and ahead of now a ribbon reaches at most, s."""
LEAST_AHEAD_S = 2 * 3600
STRETCHES = 200
"""Straight stretches that the air is drawn in at most."""
FRESH = ("gel", "film", "recoat_opens")
WORK = (*FRESH, "recoat_closes", "sandable")
"""Milestones that somebody works by, while it has not gelled and after; the last one, days off,
comes in once these are past."""


def ribbon(watched: Watched, now: int) -> dict[str, Any]:
    """A layup, for an answer as `show_layup` has it, with its ribbon.

    Returns:
        Besides: `ribbon` with `from` and `until` in epoch s, `floor` in K (None where it cures
        at any), and `air`: stretches of {"measured", "knots": [(epoch s, K)]}, end to end.
    """
    since, until = _stretch(watched, now)
    floor = watched.layer.sheet.cure_min
    return {
        **vars(show_layup(watched)),
        "ribbon": {
            "from": since,
            "until": until,
            "floor": None if floor is None else float(floor),
            "air": _air(watched.trace, since, until),
        },
    }


def _stretch(watched: Watched, now: int) -> tuple[float, float]:
    """From its start to the last that is worked by, near the moment that it is looked at.

    While it is wet that is the next layer: minutes count, and a day would hide them.
    """
    moment = float(now if watched.closed_at is None else min(now, watched.closed_at))
    wet = {"wet", "gelling"} & set(watched.signs)
    ends = [_end(watched, name) for name in (FRESH if wet else WORK)]
    if max(ends, default=0.0) <= moment:
        ends.append(_end(watched, "full_cure"))
    start = max(float(watched.layer.started), moment - BACK_S)
    until = max([*ends, moment + LEAST_AHEAD_S])
    return start, min(until, moment + AHEAD_S)


def _end(watched: Watched, name: str) -> float:
    milestone = watched.found[name]
    return max(milestone.at or 0.0, milestone.latest or 0.0)


def _air(trace: Trace, since: float, until: float) -> list[dict[str, Any]]:
    since, until = max(since, trace.start), min(until, trace.end)
    if since >= until:
        return []
    air = _thinned(trace.between(since, until))
    knots = list(zip(air.t.tolist(), air.T.tolist(), strict=True))
    told = []
    for measured, run in groupby(enumerate(air.measured.tolist()), key=itemgetter(1)):
        places = [place for place, _ in run]
        told.append({"measured": measured, "knots": knots[places[0] : places[-1] + 2]})
    return told


def _thinned(air: Trace) -> Trace:
    """The air in no more stretches than can be seen: a logger may have read every minute."""
    if len(air.measured) <= STRETCHES:
        return air
    moments = np.linspace(air.start, air.end, STRETCHES + 1)
    middles = (moments[:-1] + moments[1:]) / 2
    segments = np.searchsorted(air.t, middles, side="right") - 1
    return Trace(moments, air.ats(moments), air.measured[segments])
