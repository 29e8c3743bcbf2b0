"""When a layer could be recoated or abraded, for every moment at which it might be laid.

The array form of what `milestones` says of one layer: same law, same edges, same rounding
inwards; a plan asks it of thousands of starts at once.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from math import inf

import numpy as np

from . import cure_clock, milestones
from .cure_clock import Clock
from .cure_sheet import ASSUMED_CLOSES_AFTER_S, ASSUMED_COLD_MAX_S, StageTime
from .gel_law import LEAST_STAGE_BAND
from .milestones import Layer
from .temperature import Floats, Trace


@dataclass(frozen=True)
class Windows:
    """For each start (epoch s): moments in epoch s, infinite where there is none.

    Attributes:
        opens: the latest that it may open. closes: the earliest that it may close; minus
            infinity where it has no window. ready: the latest by which it is hard enough to
            be abraded. stalled: when it has lain too cold for too long, judged at the
            bay's own temperature.
    """

    opens: Floats
    closes: Floats
    ready: Floats
    stalled: Floats


def windows(layer: Layer, trace: Trace, uncertainty: float, starts: Floats) -> Windows:
    """The windows of a layer laid at each of many starts.

    Args:
        layer: laid at any time: only its length of application (`finished - started`)
            counts. trace: of the bay, over all starts and as far ahead as is looked.
        uncertainty: of its temperatures, K. starts: within the trace.
    """
    ways = _Ways(layer, trace, uncertainty, starts)
    never = np.full_like(starts, inf)
    if milestones.never(layer, "recoat_opens"):
        opens, closes = never, -never
    else:
        opens, closes = ways.latest("recoat_opens"), ways.closes()
    abradable = next((n for n in ("sandable", "full_cure") if layer.sheet.stage(n)), None)
    return Windows(
        opens, closes, ways.latest(abradable) if abradable else never, ways.middle_stalled
    )


class _Ways:
    """The middle, warm and cold clocks, run once for all the starts."""

    def __init__(self, layer: Layer, trace: Trace, uncertainty: float, starts: Floats) -> None:
        self.layer, self.sheet = layer, layer.sheet
        self.trace, self.uncertainty = trace, uncertainty
        self.starts = starts
        self.finished = starts + (layer.finished - layer.started)
        kelvins, which = np.unique(trace.ats(starts), return_inverse=True)
        width = np.array([self._band(float(T)) for T in kelvins])[which]
        self.low, self.high = np.maximum(1 - width, 0.1), 1 + width

    def _band(self, T: float) -> float:
        law, layer = self.layer.law, self.layer
        return law.band(T, layer.percent, least=LEAST_STAGE_BAND, unsure=layer.unsure)

    def clock(self, shift: float, E: float, *, stalls: bool) -> Clock:
        """A clock along the trace, so much warmer or colder."""
        floor = self.sheet.cure_min if stalls else None
        return cure_clock.run(self.trace.shifted(shift), E, self.sheet.reference_temperature, floor)

    @cached_property
    def middle(self) -> Clock:
        """The clock at the bay's own temperature."""
        return self.clock(0.0, self.layer.law.E, stalls=True)

    @cached_property
    def cold(self) -> list[Clock]:
        """The clocks of the cold edge."""
        energies = self.layer.law.energies
        return [self.clock(-self.uncertainty, E, stalls=True) for E in energies]

    @cached_property
    def middle_stalled(self) -> Floats:
        """When each start's layer has lain cold too long on the middle clock."""
        return self.stalled(self.middle)

    def stalled(self, clock: Clock) -> Floats:
        """When the time under the floor ran out before it was hard, else infinite."""
        allowed = self.sheet.cold_max
        since = clock.colds_since(self.starts, ASSUMED_COLD_MAX_S if allowed is None else allowed)
        if not np.isfinite(since).any():
            return since
        return np.where(since < self.hard(clock), since, inf)

    def hard(self, clock: Clock) -> Floats:
        """When it is hard on a clock, for each start."""
        from_finish, age = milestones.hard_age(self.layer, clock.E)
        begin = self.finished if from_finish else self.starts
        return _reach(clock, begin, np.full_like(self.starts, age))

    def latest(self, name: str) -> Floats:
        """The latest that a milestone may come; infinite where some edge never gets there."""
        stage = self.sheet.stage(name)
        if stage is None:
            return np.full_like(self.starts, inf)
        at = self._reached(self.middle, stage, np.ones_like(self.starts))
        edges = [self._reached(clock, stage, self.high) for clock in self.cold]
        return np.asarray(np.maximum.reduce([at, *edges]))

    def _reached(self, clock: Clock, stage: StageTime, share: Floats) -> Floats:
        stretch = max(milestones.stretches(self.layer))
        target = milestones.stage_age(self.layer, stage, clock.E) * stretch * share
        moments = _reach(clock, self.finished, target)
        return np.where(moments <= self.stalled(clock), moments, inf)

    def closes(self) -> Floats:
        """The earliest that the window may close: the wall, or a clock that never stalls."""
        after = self.sheet.closes_after
        wall = self.starts + (ASSUMED_CLOSES_AFTER_S if after is None else after)
        stage = self.sheet.stage("recoat_closes")
        if stage is None:
            return wall
        law, shrink = self.layer.law, min(milestones.stretches(self.layer))
        edges = [(0.0, law.E, np.ones_like(self.low))]
        edges += [(self.uncertainty, E, self.low) for E in law.energies]
        found = [wall]
        for shift, E, share in edges:
            clock = self.clock(shift, E, stalls=False)
            target = milestones.stage_age(self.layer, stage, E) * shrink * share
            found.append(_reach(clock, self.starts, target))
        return np.asarray(np.minimum.reduce(found))


def _reach(clock: Clock, begin: Floats, target: Floats) -> Floats:
    """When a clock has counted so much more than at each beginning."""
    return clock.reaches(clock.ages_at(begin) + target)


def laid_at(layer: Layer, moment: float) -> Layer:
    """The same layer laid at a moment."""
    return replace(layer, started=moment, finished=moment + layer.finished - layer.started)
