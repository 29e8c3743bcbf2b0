"""Show a layup's ribbon of time: the stretch that is worth seeing, and the air over it."""

from __future__ import annotations

from dataclasses import replace
from itertools import groupby
from operator import itemgetter
from typing import Annotated

from ...core import arrays as np
from ...core.amounts.quantities import TEMPERATURE
from ...core.amounts.views import Moment, View
from ...core.bays.temperature import Trace
from ...core.cure.milestones import NOT_ON_SHEET
from ...core.frozen import frozen
from ..cure.watch import Watched

BACK_S, AHEAD_S = 24 * 3600, 36 * 3600
"""How far back and ahead of now a ribbon reaches at most, s."""
LEAST_AHEAD_S = 2 * 3600
AXIS_BACK_S, AXIS_AHEAD_S = 200 * 60, 14 * 3600
"""How far back and ahead of now the one axis of the wall's rows reaches, s: into the next shift."""
STRETCHES = 200
"""Straight stretches that the air is drawn in at most."""
FRESH = ("gel", "film", "skin", "recoat_opens")
WORK = (*FRESH, "recoat_closes", "sandable")
"""Milestones that somebody works by, before the gel and after. The full cure is days off, and is
shown once these are past."""


@frozen
class AirRunView(View):
    """Air that was measured throughout, or not at all: its knots, (epoch s, K)."""

    measured: bool
    knots: list[tuple[float, float]]


@frozen
class RibbonView(View):
    """A stretch of time with the air over it.

    Attributes:
        floor: the least temperature that the layup cures at; None where it cures at any.
        air: end to end.
    """

    since: Moment
    until: Moment
    floor: Annotated[float, TEMPERATURE] | None
    air: list[AirRunView]


def show_ribbon(watched: Watched, now: int) -> RibbonView:
    """The ribbon of a layup."""
    since, until = _stretch(watched, now)
    floor = watched.layer.sheet.cure_min
    return RibbonView(
        since=since,
        until=until,
        floor=None if floor is None else float(floor),
        air=_air(watched.trace, since, until),
    )


def show_axis(watched: Watched, now: int) -> RibbonView:
    """The ribbon of a layup over the stretch of time that all rows of the wall share."""
    whole = show_ribbon(watched, now)
    since, until = float(now - AXIS_BACK_S), float(now + AXIS_AHEAD_S)
    return replace(whole, since=since, until=until, air=_air(watched.trace, since, until))


def _stretch(watched: Watched, now: int) -> tuple[float, float]:
    """From a layup's start to the last milestone that somebody works by, both kept near `now`.

    While it is wet, that milestone is the next layer: minutes count, and a day would hide them.
    """
    moment = float(now if watched.closed_at is None else min(now, watched.closed_at))
    wet = {"wet", "gelling"} & set(watched.signs)
    ends = [_end(watched, name) for name in (FRESH if wet else WORK)]
    if max(ends, default=0.0) <= moment:
        ends.append(_end(watched, "through" if "through" in watched.found else "full_cure"))
    start = max(float(watched.layer.started), moment - BACK_S)
    until = max([*ends, moment + LEAST_AHEAD_S])
    return start, min(until, moment + AHEAD_S)


def _end(watched: Watched, name: str) -> float:
    milestone = watched.found.get(name, NOT_ON_SHEET)
    return max(milestone.at or 0.0, milestone.latest or 0.0)


def _air(trace: Trace, since: float, until: float) -> list[AirRunView]:
    since, until = max(since, trace.start), min(until, trace.end)
    if since >= until:
        return []
    air = _thinned(trace.between(since, until))
    knots = list(zip(air.t.tolist(), air.T.tolist(), strict=True))
    runs = []
    for measured, run in groupby(enumerate(air.measured.tolist()), key=itemgetter(1)):
        places = [place for place, _ in run]
        runs.append(AirRunView(measured, knots[places[0] : places[-1] + 2]))
    return runs


def _thinned(air: Trace) -> Trace:
    """The air in no more stretches than a screen can show: a logger may have read every minute."""
    if len(air.measured) <= STRETCHES:
        return air
    moments = np.linspace(air.start, air.end, STRETCHES + 1)
    middles = (moments[:-1] + moments[1:]) / 2
    segments = np.searchsorted(air.t, middles, side="right") - 1
    return Trace(moments, air.ats(moments), air.measured[segments])
