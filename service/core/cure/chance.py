"""The chance that layers have reached a stage by a moment, and the moments of a chance.

With S = ln(true gel time / sheet's), normal with mean M and standard uncertainty u, and A(t) the
age that a clock shows, in ten clocks of weight w (`clocks`, `products/mixture.py`):

    gel    F(t) = Σ w Φ((ln(A(t)/D) - M) / u)
    later  F(t) = Σ w Φ((ln(A(t)/D) - 0.75 M) / √(u² + 0.12² + (0.144 M)²))

D is the sheet's time. After looks at the layup S is no longer normal, and the sum runs over its
weighed points (`looks`). Unknowns go through as a distribution (JCGM 101:2008). The window shuts on
clocks that do not pause in the cold, or by the wall clock.

Of several equal pots the last is expected later than one alone, and the first sooner. Unlike pots
have a chance each: what they must all reach has the least of them, what one shuts the greatest.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import cached_property
from math import inf, sqrt

from .. import arrays as np
from ..arrays import Flags, Floats, Places
from ..bays.temperature import Trace
from ..frozen import frozen
from ..products import budget
from ..products.cure_sheet import StageTime
from ..products.mixture import WEIGHTS, deviation, deviations, nodes, normal, root
from .clocks import Clocks, Doubt, Running, running
from .layers import Layers
from .looks import (
    FILM_AFTER_CUP,
    FILM_U,
    OF_GEL,
    Weighed,
    clock_of_points,
    later_sd,
    looked_at,
    weigh,
)

NEAR = 2e-7
"""A moment is found once its chance is this near, in standard deviations: within a second."""
_NEVER = 1e-7
_BESIDE_S = 1.0
_LEAST_AGE_S = 1e-9


@frozen
class Edges:
    """A band: moments in epoch s, infinite where the chance never gets there."""

    earliest: Floats
    at: Floats
    latest: Floats

    def by(self, of_layer: Callable[[Floats], Floats]) -> Edges:
        """The band of each layer, from that of each pot."""
        return Edges(of_layer(self.earliest), of_layer(self.at), of_layer(self.latest))

    def not_before(self, moments: Floats) -> Edges:
        """The same, but nowhere before some moments, epoch s."""
        return self.by(lambda edge: np.maximum(edge, moments))

    def but(self, where: Flags, other: Edges) -> Edges:
        """The same, but the other's where it is said."""
        return Edges(
            np.where(where, other.earliest, self.earliest),
            np.where(where, other.at, self.at),
            np.where(where, other.latest, self.latest),
        )


@frozen
class Reach:
    """How each pot reaches something.

    Attributes:
        clocks: and, for each point, which of them it goes by. since: when each pot's time begins,
            epoch s. mean: of ln(age); sd; weight: a row for each point, a column for each pot.
        least, most: the moments that a hand's looks leave for it, epoch s; infinite where none.
    """

    clocks: Clocks
    which: Places
    since: Floats
    mean: Floats
    sd: Floats
    weight: Floats
    least: Floats
    most: Floats

    def chance(self, moments: Floats) -> Floats:
        """The chance that each pot (last dimension of `moments`) reached it by a moment."""
        raw, low, high = self._raw(moments), *self._cut
        known = np.where(high > low, (raw - low) / np.maximum(high - low, 1e-12), 0.0)
        known = np.where(moments >= self.most, 1.0, np.where(moments < self.least, 0.0, known))
        return np.asarray(np.clip(known, 0.0, 1.0))

    def moment(self, p: Floats) -> Floats:
        """When each pot has reached it with some chances: a row for each, a column for each pot."""
        low, high = self._cut
        wanted = low + p[:, None] * (high - low)
        aim, end = deviations(wanted), self.clocks.t[-1]
        a, b = self._bracket(p)
        last = np.minimum(self.most, end)
        a = np.minimum(np.maximum(np.maximum(a, self.least), self.clocks.t[0]), last)
        certain = bool((b < last).all())
        b = np.maximum(np.minimum(b, last), a)
        never = np.zeros(b.shape, bool) if certain else self._raw(b) < wanted - _NEVER
        guess, stride = self._about(aim)
        found = root(lambda at: deviations(self._raw(at)) - aim, a, b, NEAR, guess, stride)
        return np.where(never, self.most, found)

    @classmethod
    def side_by_side(cls, reaches: Sequence[Reach]) -> Reach:
        """Several in one, their columns side by side; all by the same clocks and points."""
        first = reaches[0]
        joined = {
            name: np.concatenate([getattr(each, name) for each in reaches], axis=-1)
            for name in ("since", "mean", "sd", "weight", "least", "most")
        }
        return cls(first.clocks, first.which, **joined)

    @cached_property
    def _cut(self) -> tuple[Floats, Floats]:
        """The chance at the earliest and at the latest moment that hands leave."""
        free, open_ended = np.isinf(self.least), np.isinf(self.most)
        low, high = np.zeros_like(self.since), np.ones_like(self.since)
        if not free.all():
            low = np.where(free, low, self._raw(np.where(free, self.since, self.least)))
        if not open_ended.all():
            most = np.where(open_ended, self.clocks.t[-1], self.most)
            high = np.where(open_ended, high, self._raw(most))
        return low, high

    @cached_property
    def _begun(self) -> Floats:
        return self.clocks.at(self.since)

    def _raw(self, moments: Floats) -> Floats:
        """The chance without what hands saw of this very stage."""
        shown = self.clocks.at(moments)
        begun = self._begun.reshape(len(shown), *(1,) * (moments.ndim - 1), -1)
        age = np.log(np.maximum(shown - begun, _LEAST_AGE_S))
        spread = self.mean.reshape(len(self.mean), *(1,) * (moments.ndim - 1), -1)
        sd = self.sd.reshape(len(self.sd), *(1,) * (moments.ndim - 1), -1)
        weight = self.weight.reshape(len(self.weight), *(1,) * (moments.ndim - 1), -1)
        return np.asarray((weight * normal((age[self.which] - spread) / sd)).sum(axis=0))

    def _about(self, aim: Floats) -> tuple[Floats, Floats]:
        """About when it is reached at some deviations, and how far that moves for one more."""
        mean = np.einsum("ij,ij->j", self.weight, self.mean)
        wide = np.sqrt(np.einsum("ij,ij->j", self.weight, self.sd**2 + (self.mean - mean) ** 2))
        middle = len(self._begun) // 2
        age = np.exp(mean + aim * wide)
        begun, end = self._begun[middle], self.clocks.t[-1]
        when = np.minimum(self.clocks.reach(middle, begun + age), end)
        further = np.minimum(self.clocks.reach(middle, begun + age * np.exp(0.1 * wide)), end)
        return when, np.maximum((further - when) * 10, 1.0)

    def _bracket(self, p: Floats) -> tuple[Floats, Floats]:
        """Moments on both sides of the wanted ones: a mixture lies among its parts."""
        known = ~np.isinf(self.least) | ~np.isinf(self.most)
        lows, highs = [], []
        for each in p.tolist():
            z = deviation(each)
            low = high = self._moments(np.where(known, -6.0, z))
            if known.any():
                high = self._moments(np.where(known, 6.0, z))
            lows.append(low.min(axis=0) - _BESIDE_S)
            highs.append(high.max(axis=0) + _BESIDE_S)
        return np.stack(lows), np.stack(highs)

    def _moments(self, z: Floats) -> Floats:
        """When each point's own clock shows its mean and z deviations more."""
        ages = np.exp(self.mean + z * self.sd) + self._begun[self.which]
        own = ages.reshape(len(self._begun), -1)
        found = [self.clocks.reach(clock, row) for clock, row in enumerate(own)]
        return np.stack(found).reshape(ages.shape)


class Chances:
    """The chances of some layers of one sheet and law along a temperature trace."""

    def __init__(self, layers: Layers, trace: Trace, doubt: Doubt, *, seen: bool = True) -> None:
        """Set them up.

        Args:
            seen: whether what hands saw counts; without, what was to be expected.
        """
        self.layers, self.doubt = layers, doubt
        self.clocks: Running = running(trace, doubt, layers.clock_law)
        self.start = trace.start
        self._seen = seen and looked_at(layers)

    @cached_property
    def weighed(self) -> Weighed | None:
        """S after the looks; None where there are none."""
        return weigh(self.layers, self.clocks) if self._seen else None

    def gel(self) -> Reach:
        """How each pot gels in its cup; on the part as well, where the sheet times no film."""
        ages, alone = np.array([self.layers.law.time] * 2), self.layers.sheet.film_gel is None
        wet, gelled = self._look("wet_in_cup", -inf), self._look("in_cup", inf)
        if alone:
            on_part = self._look("wet_on_part", -inf), self._look("on_part", inf)
            wet = np.where(np.isinf(on_part[0]), wet, on_part[0])
            gelled = np.where(np.isinf(on_part[1]), np.where(gelled > wet, gelled, inf), on_part[1])
        return self._gel(("gel", "film") if alone else ("gel",), ages, "gel", wet, gelled)

    def film(self) -> Reach:
        """How each pot gels in a film, by the sheet's own time for one."""
        ages = np.array([self.layers.of_film(E) for E in self.layers.E])
        wet, gelled = self._look("wet_on_part", -inf), self._look("on_part", inf)
        return self._gel(("film",), ages, "dosed", wet, gelled)

    def film_by_cup(self) -> Reach:
        """How each pot gels in a film before any look, where the sheet times the cup's gel alone.

        A film is cooler than a cup, so it gels later.
        """
        mean = self._means("gel") + FILM_AFTER_CUP
        sd = np.broadcast_to(np.hypot(self.layers.column("gel_u"), FILM_U), mean.shape)
        ages = np.log([self.layers.law.time] * 2)
        wet, gelled = np.full_like(self.layers.started, -inf), np.full_like(sd[0], inf)
        clocks, since = self.clocks.pausing, self.layers.started
        return self._reach((), clocks, since, ages, mean, sd, wet, gelled)

    def stage(self, name: str, stage: StageTime) -> Reach:
        """How each pot reaches a stage after gel, from the end of application."""
        seen = {"recoat_opens": "opened", "sandable": "hard"}.get(name)
        clocks, since = self.clocks.pausing, self.layers.finished
        return self._later(name, stage, clocks, since, 1.0, self._look(None, -inf),
                           self._look(seen, inf))  # fmt: skip

    def closing(self, stage: StageTime, *, trusting: bool = False) -> Reach:
        """How each pot shuts the window, by the cure clock from its mixing.

        Args:
            trusting: whether looks that are doubted count all the same.
        """
        clocks, since = self.clocks.steady, self.layers.started
        least, most = self._look("green", -inf), self._look("shut", inf)
        found = self._later("recoat_closes", stage, clocks, since, -1.0, least, most)
        if self.weighed is None or not trusting:
            return found
        return replace(found, weight=self.weighed.weight("recoat_closes", trusting=True))

    def _gel(
        self, names: tuple[str, ...], ages: Floats, against: str, wet: Floats, gelled: Floats
    ) -> Reach:
        M, clocks, since = self._means(against), self.clocks.pausing, self.layers.started
        if self.weighed is None:
            mean, sd = M, np.broadcast_to(self.layers.column(f"{against}_u"), M.shape)
        else:
            # Each point has a width of its own, so the points are drawn in: u stays what it was.
            u, middle = self.layers.column(f"{against}_u"), self._means("dosed")[clock_of_points()]
            drawn_in = np.sqrt(1 - np.minimum(OF_GEL / u, 1.0) ** 2)
            mean = M[clock_of_points()] + (self.weighed.S - middle) * drawn_in
            sd = np.full_like(mean, OF_GEL)
        return self._reach(names, clocks, since, np.log(ages), mean, sd, wet, gelled)

    def _later(
        self, name: str, stage: StageTime, clocks: Clocks, since: Floats, side: float,
        least: Floats, most: Floats,
    ) -> Reach:  # fmt: skip
        ages = np.log([self.layers.of_stage(stage, E) for E in self.layers.E])
        M, among = self._means("dosed"), side * self.layers.column("among")
        sd = np.hypot(later_sd(M, self.layers.law.parts), stage.spread / sqrt(3))
        if self.weighed is None:
            mean = budget.FOLLOWS * M + among
            sd = np.hypot(self.layers.column("dosed_u"), sd)
        else:
            mean = self.weighed.S - (1 - budget.FOLLOWS) * M[clock_of_points()] + among
            sd = sd[clock_of_points()]
        return self._reach((name,), clocks, since, ages, mean, sd, least, most)

    def _means(self, against: str) -> Floats:
        columns = [self.layers.column(f"{against}_{edge}") for edge in ("low", "high")]
        return np.asarray(np.stack(columns)[nodes().energy])

    def _reach(
        self, names: tuple[str, ...], clocks: Clocks, since: Floats, ages: Floats, mean: Floats,
        sd: Floats, least: Floats, most: Floats,
    ) -> Reach:  # fmt: skip
        which = np.arange(len(WEIGHTS)) if self.weighed is None else clock_of_points()
        weight = nodes().weight[:, None] if self.weighed is None else self.weighed.weight(*names)
        older = ages[nodes().energy][which][:, None]
        return Reach(
            clocks, which, np.maximum(since, self.start), mean + older, sd,
            np.broadcast_to(weight, mean.shape), least, np.maximum(most, least),
        )  # fmt: skip

    def _look(self, name: str | None, nobody: float) -> Floats:
        if name is None or not self._seen:
            return np.full_like(self.layers.started, nobody)
        at = self.layers.column(name)
        return np.where(np.isnan(at), nobody, at)
