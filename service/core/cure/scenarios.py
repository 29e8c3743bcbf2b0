"""Scenarios: the middle, the warm and the cold one for layers along a temperature trace.

The warm and the cold scenario differ from the middle by the uncertainty of the bay's temperature
and, where the activation energy was assumed, by the range that such resins have. Opening, sanding
and cure stall while it is colder than the floor, and a layer that was cold for too long before it
was hard reaches no later stage. The closing of the recoat window never stalls (see `recoat`).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property, reduce
from math import inf

import numpy as np

from ..bays.temperature import Floats, Trace
from ..products.cure_sheet import ASSUMED_COLD_MAX_S, StageTime
from ..products.gel_law import LEAST_GEL_BAND, LEAST_STAGE_BAND, GelLaw
from . import cure_clock
from .layer import LaidPot, Layers

Share = Floats | float
"""The share of a time that is taken to pass, for each pot or for all."""

SEEN_RANGE = (0.5, 2.0)
"""How far an observed gel may move the later stages (common practice, no source)."""
LEAST_SHARE = 0.1
"""At least this share of a time is taken to pass, however unsure it is."""


@dataclass(frozen=True)
class Widths:
    """Half-widths of the bands of each pot, as shares of a time: of gel, and of later stages."""

    gel: Floats
    later: Floats

    @classmethod
    def of(cls, law: GelLaw, pots: Sequence[LaidPot], kelvins: Floats) -> Widths:
        """The widths for pots that were mixed at some temperatures (K, one a pot)."""
        widths = [
            law.band(T, pot.percent, least=least, unsure=pot.unsure)
            for least in (LEAST_GEL_BAND, LEAST_STAGE_BAND)
            for pot, T in zip(pots, kelvins.tolist(), strict=True)
        ]
        return cls(*np.array(widths).reshape(2, -1))


class Scenario:
    """One scenario: a cure clock, and when each layer has been cold for too long on it.

    All moments are epoch s, infinite where they never come.
    """

    def __init__(self, scenarios: Scenarios, shift: float, E: float) -> None:
        """Run the clock on a trace that is `shift` K warmer, with E in J/mol."""
        layers = scenarios.layers
        self.layers, self.E = layers, E
        self.started, self.finished = scenarios.started, scenarios.finished
        T_ref, floor = layers.sheet.reference_temperature, layers.sheet.cure_min
        self.clock = cure_clock.run(scenarios.trace.shifted(shift), E, T_ref, floor)

    @cached_property
    def from_start(self) -> Floats:
        """The clock's age at each pot's mixing, equivalent s."""
        return self.clock.ages_at(self.started)

    @cached_property
    def from_finish(self) -> Floats:
        """The clock's age at the end of each pot's application, equivalent s."""
        return self.clock.ages_at(self.finished)

    @cached_property
    def hard(self) -> Floats:
        """When each layer is hard."""
        return self.layers.last(self.hard_each)

    @cached_property
    def hard_each(self) -> Floats:
        """When each pot is hard."""
        from_finish, age = self.layers.hard_age(self.E)
        return self.clock.reaches((self.from_finish if from_finish else self.from_start) + age)

    @cached_property
    def stalled(self) -> Floats:
        """When each layer had been cold for too long before it was hard."""
        return self.layers.soonest(self.stalled_each)

    @cached_property
    def stalled_each(self) -> Floats:
        """When each pot had been cold for too long before it was hard."""
        allowed = self.layers.sheet.cold_max
        since = self.clock.colds_since(
            self.started, ASSUMED_COLD_MAX_S if allowed is None else allowed
        )
        return np.where(since < self.hard_each, since, inf) if np.isfinite(since).any() else since

    def reached(self, ages: Floats) -> Floats:
        """When the clock shows some ages (equivalent s, one a pot in the last dimension)."""
        moments = self.clock.reaches(ages)
        return np.where(moments <= self.stalled_each, moments, inf)

    def without_floor(self, span: Floats) -> Floats:
        """When a clock that never stalls has counted a span (equivalent s) from each mixing."""
        clock = self.clock.unstalled
        return clock.reaches(clock.ages_at(self.started) + span)


class Scenarios:
    """The middle, warm and cold scenarios of some layers, each run when it is asked for."""

    def __init__(self, layers: Layers, trace: Trace, uncertainty: float) -> None:
        """For layers along a trace (K) that is known to within an uncertainty (K)."""
        self.layers, self.trace, self.uncertainty = layers, trace, uncertainty
        self.started = np.maximum(layers.started, trace.start)
        self.finished = np.maximum(layers.finished, trace.start)

    @cached_property
    def middle(self) -> Scenario:
        """At the trace's own temperature."""
        return Scenario(self, 0.0, self.layers.law.E)

    @cached_property
    def warm(self) -> list[Scenario]:
        """At the warm edge, one for each activation energy to try."""
        return [Scenario(self, self.uncertainty, E) for E in self.layers.law.energies]

    @cached_property
    def cold(self) -> list[Scenario]:
        """At the cold edge, one for each activation energy to try."""
        return [Scenario(self, -self.uncertainty, E) for E in self.layers.law.energies]

    @cached_property
    def seen(self) -> Floats:
        """Observed over expected equivalent age at gel, by which the later stages are scaled.

        On the part, else in the cup. NaN where nobody saw it gel or the sheet has no gel times.
        """
        return np.where(np.isnan(self._on_part), self._in_cup, self._on_part)

    @cached_property
    def least_seen(self) -> Floats:
        """As `seen`, by whichever of the two looks shows the faster mix."""
        return np.fmin(self._on_part, self._in_cup)

    @cached_property
    def _on_part(self) -> Floats:
        return self._ratio(self.layers.on_part, self.layers.part_age(self.middle.E))

    @cached_property
    def _in_cup(self) -> Floats:
        return self._ratio(self.layers.in_cup, self.layers.gel_age(self.middle.E))

    def _ratio(self, looks: Floats, expected: Floats) -> Floats:
        """Observed over expected age, kept within `SEEN_RANGE`.

        Beyond that range the mix is suspect, and no forecast should follow it.
        """
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
        """When each pot gels on the part, from its mixing on."""
        return self._gels(self.layers.part_age, width)

    def _gels(self, age: Callable[[float], Floats], width: Floats) -> Band:
        def moments(scenario: Scenario, share: Share) -> Floats:
            return scenario.reached(scenario.from_start + age(scenario.E) * share)

        return Band(self, width, moments)

    def stages(self, stages: Sequence[StageTime], width: Floats) -> Band:
        """When each layer reaches some stages of its sheet, from the end of application.

        The moments have one row for each stage and one column for each layer.
        """
        layers, stretch = self.layers, self.layers.longest(self.seen)

        def moments(scenario: Scenario, share: Share) -> Floats:
            times = np.array([[layers.stage_age(stage, scenario.E)] for stage in stages])
            return layers.last(scenario.reached(scenario.from_finish + times * stretch * share))

        return Band(self, width, moments)


class Band:
    """When each layer or pot reaches something, with the earliest and the latest moment.

    Moments in epoch s, infinite where it never gets there.
    """

    def __init__(
        self,
        scenarios: Scenarios,
        width: Floats,
        moments: Callable[[Scenario, Share], Floats],
    ) -> None:
        """Set up a band.

        Args:
            width: half-width as a share of the time, for each pot. moments: the moments in one
                scenario if a share of the time is taken to pass.
        """
        self.scenarios, self.width, self.moments = scenarios, width, moments

    @cached_property
    def at(self) -> Floats:
        """In the middle scenario."""
        return self.moments(self.scenarios.middle, 1.0)

    @cached_property
    def earliest(self) -> Floats:
        """The earliest of the warm scenarios."""
        low = np.maximum(1 - self.width, LEAST_SHARE)
        warm = (self.moments(each, low) for each in self.scenarios.warm)
        return reduce(np.minimum, warm, self.at)

    @cached_property
    def latest(self) -> Floats:
        """The latest of the cold scenarios."""
        high = 1 + self.width
        cold = (self.moments(each, high) for each in self.scenarios.cold)
        return reduce(np.maximum, cold, self.at)
