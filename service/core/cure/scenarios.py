"""The ways that things may run for layers along a trace: middle, warm and cold.

The edges are the bay's temperature uncertainty and, where the activation energy was assumed,
the range that such resins have. Opening, sanding and cure stall under the floor, and no more
comes of a layer that lay cold too long before it was hard; closing never stalls. Each pot runs by
itself; its layer opens by the last of its pots and closes by the first.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property, reduce
from math import inf

import numpy as np

from ..bays.temperature import Floats, Trace
from ..products.cure_sheet import ASSUMED_CLOSES_AFTER_S, ASSUMED_COLD_MAX_S, StageTime
from ..products.gel_law import LEAST_GEL_BAND, LEAST_STAGE_BAND, GelLaw
from . import cure_clock
from .layer import LaidPot, Layers

Share = Floats | float
"""How much of a time is taken to pass, for each pot or for all."""

SEEN_RANGE = (0.5, 2.0)
"""How far an observed gel moves what follows (common practice, no source)."""
LEAST_SHARE = 0.1
"""However unsure a time is, this much of it is taken to pass."""


@dataclass(frozen=True)
class Widths:
    """Half-widths of bands as shares of a time, for each pot: of gel, and of what follows."""

    gel: Floats
    later: Floats

    @classmethod
    def of(cls, law: GelLaw, pots: Sequence[LaidPot], kelvins: Floats) -> Widths:
        """Those of pots that lay in so many kelvin when they were mixed."""
        told = [
            law.band(T, pot.percent, least=least, unsure=pot.unsure)
            for least in (LEAST_GEL_BAND, LEAST_STAGE_BAND)
            for pot, T in zip(pots, kelvins.tolist(), strict=True)
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
        """The clock's age at each pot's mixing."""
        return self.clock.ages_at(self.started)

    @cached_property
    def from_finish(self) -> Floats:
        """The clock's age at the end of each pot's application."""
        return self.clock.ages_at(self.finished)

    @cached_property
    def hard(self) -> Floats:
        """When each layer is hard; infinite if never."""
        return self.layers.last(self.hard_each)

    @cached_property
    def hard_each(self) -> Floats:
        """When each pot is hard."""
        from_finish, age = self.layers.hard_age(self.E)
        return self.clock.reaches((self.from_finish if from_finish else self.from_start) + age)

    @cached_property
    def stalled(self) -> Floats:
        """When each layer lay cold for too long before it was hard, else infinite."""
        return self.layers.soonest(self.stalled_each)

    @cached_property
    def stalled_each(self) -> Floats:
        """When a pot's time under the floor ran out before it was hard, else infinite."""
        allowed = self.layers.sheet.cold_max
        since = self.clock.colds_since(
            self.started, ASSUMED_COLD_MAX_S if allowed is None else allowed
        )
        return np.where(since < self.hard_each, since, inf) if np.isfinite(since).any() else since

    def reached(self, ages: Floats) -> Floats:
        """When the clock has come to some ages, an entry a pot in the last dimension."""
        moments = self.clock.reaches(ages)
        return np.where(moments <= self.stalled_each, moments, inf)

    def unstalled(self, span: Floats) -> Floats:
        """When a clock that minds no floor has counted a span from each pot's mixing."""
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

        On the part, else in the cup. NaN where nobody saw it gel, and where the sheet has no
        gel times.
        """
        return np.where(np.isnan(self._on_part), self._in_cup, self._on_part)

    @cached_property
    def least_seen(self) -> Floats:
        """As `seen`, by whichever look tells of the faster mix."""
        return np.fmin(self._on_part, self._in_cup)

    @cached_property
    def _on_part(self) -> Floats:
        return self._ratio(self.layers.on_part, self.layers.part_age(self.middle.E))

    @cached_property
    def _in_cup(self) -> Floats:
        return self._ratio(self.layers.in_cup, self.layers.gel_age(self.middle.E))

    def _ratio(self, looks: Floats, expected: Floats) -> Floats:
        """Held within `SEEN_RANGE`: beyond it the mix is suspect, and no forecast follows it."""
        seen = np.full_like(looks, np.nan)
        known = ~(np.isnan(looks) | np.isnan(expected))
        if known.any():
            grown = self.middle.clock.ages_at(looks[known]) - self.middle.from_start[known]
            seen[known] = np.clip(grown / expected[known], *SEEN_RANGE)
        return seen

    def gel(self, width: Floats) -> Band:
        """When each pot gels in its cup, from its mixing on."""
        return self._gels(self.layers.gel_age, width)

    def gel_on_part(self, width: Floats) -> Band:
        """When each pot gels on the part, likewise."""
        return self._gels(self.layers.part_age, width)

    def _gels(self, age: Callable[[float], Floats], width: Floats) -> Band:
        return Band(
            self, width, lambda way, share: way.reached(way.from_start + age(way.E) * share)
        )

    def stages(self, stages: Sequence[StageTime], width: Floats) -> Band:
        """When the last pot of each comes to stages of its sheet, from the end of application:
        a row a stage.
        """
        layers, stretch = self.layers, self.layers.longest(self.seen)

        def moments(way: Way, share: Share) -> Floats:
            times = np.array([[layers.stage_age(stage, way.E)] for stage in stages])
            return layers.last(way.reached(way.from_finish + times * stretch * share))

        return Band(self, width, moments)

    @cached_property
    def wall(self) -> Floats:
        """When each window shuts by the wall's clock, from its first pot's mixing; else infinite.

        By the sheet's `closes_after`; a day where the sheet says nothing of closing.
        """
        sheet, after = self.layers.sheet, self.layers.sheet.closes_after
        if after is None:
            after = inf if sheet.stage("recoat_closes") else ASSUMED_CLOSES_AFTER_S
        return self.layers.soonest(self.layers.started + after)

    def closes(self, width: Floats) -> Band:
        """When the first pot of each shuts its window: by the wall, or by the clock if sooner.

        The clock never stalls here.
        """
        layers, wall = self.layers, self.wall
        stage = layers.sheet.stage("recoat_closes")
        if stage is None:
            return Band(self, width, lambda way, share: wall)
        stretch = layers.shortest(self.least_seen)

        def moments(way: Way, share: Share) -> Floats:
            span = layers.stage_age(stage, way.E) * stretch * share
            return np.minimum(layers.soonest(way.unstalled(span)), wall)

        return Band(self, width, moments)


class Band:
    """When each layer or pot comes to something, and the least and the most that it may take.

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
