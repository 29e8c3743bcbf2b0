"""The ways that things may run for layers along a trace: middle, warm and cold.

The edges are the bay's temperature uncertainty and, where the activation energy was assumed,
the range that such resins have. Opening, sanding and cure stall under the floor, and no more
comes of a layer that lay cold too long before it was hard; closing never stalls.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property, reduce
from math import inf, isnan

import numpy as np

from . import cure_clock
from .cure_sheet import ASSUMED_CLOSES_AFTER_S, ASSUMED_COLD_MAX_S, StageTime
from .gel_law import LEAST_GEL_BAND, LEAST_STAGE_BAND
from .layer import Layer, Layers
from .temperature import Floats, Trace

Share = Floats | float
"""How much of a time is taken to pass, for each layer or for all."""

SEEN_RANGE = (0.5, 2.0)
"""How far an observed gel moves what follows (common practice, no source)."""
LEAST_SHARE = 0.1
"""However unsure a time is, this much of it is taken to pass."""


@dataclass(frozen=True)
class Widths:
    """Half-widths of bands as shares of a time, for each layer: of gel, and of what follows."""

    gel: Floats
    later: Floats

    @classmethod
    def of(cls, layers: Sequence[Layer], kelvins: Floats) -> Widths:
        """Those of layers that lay in so many kelvin when they were started."""
        told = [
            layer.law.band(T, layer.percent, least=least, unsure=layer.unsure)
            for least in (LEAST_GEL_BAND, LEAST_STAGE_BAND)
            for layer, T in zip(layers, kelvins.tolist(), strict=True)
        ]
        return cls(*np.array(told).reshape(2, -1))


class Way:
    """One way: a clock, and when each layer has lain cold too long on it."""

    def __init__(self, ways: Ways, shift: float, E: float) -> None:
        layers = ways.layers
        self.layers, self.E = layers, E
        self.started, self.finished = ways.started, ways.finished
        T_ref, floor = layers.sheet.reference_temperature, layers.sheet.cure_min
        self.clock = cure_clock.run(ways.trace.shifted(shift), E, T_ref, floor)

    @cached_property
    def from_start(self) -> Floats:
        """The clock's age at each layer's start."""
        return self.clock.ages_at(self.started)

    @cached_property
    def from_finish(self) -> Floats:
        """The clock's age at the end of each application."""
        return self.clock.ages_at(self.finished)

    @cached_property
    def hard(self) -> Floats:
        """When each is hard; infinite if never."""
        from_finish, age = self.layers.hard_age(self.E)
        return self.clock.reaches((self.from_finish if from_finish else self.from_start) + age)

    @cached_property
    def stalled(self) -> Floats:
        """When the time under the floor ran out before it was hard, else infinite."""
        allowed = self.layers.sheet.cold_max
        since = self.clock.colds_since(
            self.started, ASSUMED_COLD_MAX_S if allowed is None else allowed
        )
        return np.where(since < self.hard, since, inf) if np.isfinite(since).any() else since

    def reached(self, ages: Floats) -> Floats:
        """When the clock has come to some ages, an entry a layer in the last dimension."""
        moments = self.clock.reaches(ages)
        return np.where(moments <= self.stalled, moments, inf)

    def unstalled(self, span: Floats) -> Floats:
        """When a clock that minds no floor has counted a span from each start."""
        clock = self.clock.unstalled
        return clock.reaches(clock.ages_at(self.started) + span)


class Ways:
    """The middle, warm and cold ways of some layers, each run when it is asked for."""

    def __init__(self, layers: Layers, trace: Trace, uncertainty: float) -> None:
        """Of layers along a trace (K), known to within an uncertainty (K)."""
        self.layers, self.trace, self.uncertainty = layers, trace, uncertainty
        self.started = np.maximum(layers.started, trace.start)
        self.finished = np.maximum(layers.finished, trace.start)

    @cached_property
    def middle(self) -> Way:
        """At the trace's own temperature."""
        return Way(self, 0.0, self.layers.law.E)

    @cached_property
    def warm(self) -> list[Way]:
        """At the warm edge."""
        return [Way(self, self.uncertainty, E) for E in self.layers.law.energies]

    @cached_property
    def cold(self) -> list[Way]:
        """At the cold edge."""
        return [Way(self, -self.uncertainty, E) for E in self.layers.law.energies]

    @cached_property
    def seen(self) -> Floats:
        """Observed over expected equivalent age at gel: what a hand saw rescales the rest.

        Held within `SEEN_RANGE`: beyond it the mix is suspect, and no forecast follows it.
        NaN where nobody saw it gel, and where the sheet has no gel points.
        """
        way, gelled_at = self.middle, self.layers.gelled_at
        if isnan(self.layers.law.time) or np.isnan(gelled_at).all():
            return np.full_like(gelled_at, np.nan)
        seen = np.full_like(gelled_at, np.nan)
        known = ~np.isnan(gelled_at)
        grown = way.clock.ages_at(gelled_at[known]) - way.from_start[known]
        seen[known] = np.clip(grown / self.layers.gel_age(way.E)[known], *SEEN_RANGE)
        return seen

    def gel(self, width: Floats) -> Band:
        """When each gels, from its first pot on."""
        age = self.layers.gel_age
        return Band(
            self, width, lambda way, share: way.reached(way.from_start + age(way.E) * share)
        )

    def stages(self, stages: Sequence[StageTime], width: Floats) -> Band:
        """When each comes to stages of its sheet, from the end of application: a row a stage."""
        layers, stretch = self.layers, self.layers.longest(self.seen)

        def moments(way: Way, share: Share) -> Floats:
            times = np.array([[layers.stage_age(stage, way.E)] for stage in stages])
            return way.reached(way.from_finish + times * stretch * share)

        return Band(self, width, moments)

    def closes(self, width: Floats) -> Band:
        """When each window shuts: the wall, or if it is sooner the clock, which never stalls."""
        sheet, layers = self.layers.sheet, self.layers
        after, stage = sheet.closes_after, sheet.stage("recoat_closes")
        wall = layers.started + (ASSUMED_CLOSES_AFTER_S if after is None else after)
        if stage is None:
            return Band(self, width, lambda way, share: wall)
        stretch = layers.shortest(self.seen)

        def moments(way: Way, share: Share) -> Floats:
            span = layers.stage_age(stage, way.E) * stretch * share
            return np.minimum(way.unstalled(span), wall)

        return Band(self, width, moments)


class Band:
    """When each layer comes to something, and the least and the most that it may take.

    Moments in epoch s, infinite where it never comes to it.
    """

    def __init__(self, ways: Ways, width: Floats, moments: Callable[[Way, Share], Floats]) -> None:
        """Of moments on a way with so much of the time taken to pass, and a band's half-width."""
        self.ways, self.width, self.moments = ways, width, moments

    @cached_property
    def at(self) -> Floats:
        """On the middle way."""
        return self.moments(self.ways.middle, 1.0)

    @cached_property
    def earliest(self) -> Floats:
        """On the warm ways."""
        low = np.maximum(1 - self.width, LEAST_SHARE)
        return reduce(np.minimum, (self.moments(way, low) for way in self.ways.warm), self.at)

    @cached_property
    def latest(self) -> Floats:
        """On the cold ways."""
        high = 1 + self.width
        return reduce(np.maximum, (self.moments(way, high) for way in self.ways.cold), self.at)
