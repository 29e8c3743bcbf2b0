"""Layers that cure, and how long each of their milestones takes by the cure sheet.

The order in catalyst, n, and the lot factor act on gel. Whether they act on the later stages as
well is not known, so a layer gives the longest and the shortest time that a stage may take; the
caller takes the one that is on the safe side.

Each pot keeps its own facts. A layer reaches a milestone when its last pot does, and its recoat
window shuts when that of its first pot does.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from math import inf, nan
from typing import Literal, TypeVar

import numpy as np
from numpy.typing import NDArray

from ..bays.temperature import Floats
from ..products.cure_sheet import CureSheet, StageTime, Surface
from ..products.gel_law import GelLaw, catalyst, rate

Answer = TypeVar("Answer")
Cover = Literal["none", "peel_ply", "film"]

COVERS: tuple[Cover, ...] = ("none", "peel_ply", "film")
LATER_ORDER = 0.5
"""The lower order in catalyst of the stages after gel; the higher is n (common practice, no
source)."""


@dataclass(frozen=True)
class LaidPot:
    """A pot that went into a layer, or the whole of a layer that was not mixed here.

    Attributes:
        percent: of catalyst, as if it were the sheet's peroxide; None if nothing was dosed.
        factor: of its lot. mixed_at: epoch s. unsure: whether it was filled or cold.
        gelled_at: when a hand saw it gelled on the part. wet_at: when a hand last found it wet
            there, if no later word says that it has set. cup_gelled_at, cup_wet_at: the same for
            the rest in its cup. Epoch s; None if nobody looked.
    """

    percent: float | None
    factor: float
    mixed_at: float
    unsure: bool = False
    gelled_at: float | None = None
    wet_at: float | None = None
    cup_gelled_at: float | None = None
    cup_wet_at: float | None = None


@dataclass(frozen=True)
class Layer:
    """One layer that cures.

    Attributes:
        sheet, law: of its resin and partner. pots: those that went into it, at least one.
        finished: end of application, epoch s. surface: as laid, with what additives do to it.
        cover: the peel ply or film that lies on it.
    """

    sheet: CureSheet
    law: GelLaw
    pots: tuple[LaidPot, ...]
    finished: float
    surface: Surface
    cover: Cover = "none"

    @property
    def started(self) -> float:
        """When its first pot was mixed, epoch s."""
        return min(pot.mixed_at for pot in self.pots)


@dataclass(frozen=True)
class Layers:
    """Layers of one sheet and law as arrays, with one entry for each pot.

    Attributes:
        started: each pot's mixing, epoch s. finished: the end of its layer's application, epoch s.
        on_part, in_cup: when a hand saw it gelled there, epoch s; NaN where nobody did.
        factor: of the lots. dosed: what the catalyst does to the gel time, as a share.
        slowest, fastest: the most and the least that it may do to the later stages, as shares.
        first: index of each layer's first pot; None where each layer has one pot.
    """

    sheet: CureSheet
    law: GelLaw
    started: Floats
    finished: Floats
    on_part: Floats
    in_cup: Floats
    factor: Floats
    dosed: Floats
    slowest: Floats
    fastest: Floats
    first: NDArray[np.intp] | None = None

    @classmethod
    def of(cls, layers: Sequence[Layer]) -> Layers:
        """The arrays of some layers: at least one, all of one sheet and law."""
        counts = [len(layer.pots) for layer in layers]
        rows = [_row(layer, pot) for layer in layers for pot in layer.pots]
        first = None if len(rows) == len(layers) else np.cumsum([0, *counts[:-1]])
        one_each = cls(layers[0].sheet, layers[0].law, *np.array(rows, float).T)
        return replace(one_each, first=first)

    @classmethod
    def at(cls, layer: Layer, starts: Floats) -> Layers:
        """One layer as if begun at each of some starts (epoch s), before any hand saw it."""
        unseen = [replace(pot, gelled_at=None, cup_gelled_at=None) for pot in layer.pots]
        alone = cls.of([replace(layer, pots=tuple(unseen))])
        count = len(unseen)

        def moved(moments: Floats) -> Floats:
            return np.asarray(starts[:, None] + (moments - layer.started)).ravel()

        def of_each(column: Floats) -> Floats:
            return column if count == 1 else np.tile(column, len(starts))

        return replace(
            alone,
            started=moved(alone.started),
            finished=moved(alone.finished),
            on_part=of_each(alone.on_part),
            in_cup=of_each(alone.in_cup),
            factor=of_each(alone.factor),
            dosed=of_each(alone.dosed),
            slowest=of_each(alone.slowest),
            fastest=of_each(alone.fastest),
            first=None if count == 1 else np.arange(len(starts)) * count,
        )

    def last(self, moments: Floats) -> Floats:
        """For each layer the latest moment of its pots, along the last dimension."""
        if self.first is None:
            return moments
        return np.asarray(np.maximum.reduceat(moments, self.first, axis=-1))

    def soonest(self, moments: Floats) -> Floats:
        """For each layer the earliest moment of its pots, along the last dimension."""
        if self.first is None:
            return moments
        return np.asarray(np.minimum.reduceat(moments, self.first, axis=-1))

    def gel_age(self, E: float) -> Floats:
        """Time to gel in a cup, equivalent s at the sheet's reference temperature; NaN where
        nothing gels.
        """
        law = self.law
        there = rate(self.sheet.reference_temperature, E, law.temperature)
        return law.time * self.factor * self.dosed / there

    def part_age(self, E: float) -> Floats:
        """As `gel_age`, on the part: by the sheet's time in a film, else as in the cup."""
        sheet, law = self.sheet, self.law
        if sheet.film_gel is None:
            return self.gel_age(E)
        reference = sheet.reference_percent
        usual = 1.0 if reference is None else catalyst(reference, law)
        return sheet.film_gel * self.factor * self.dosed / usual

    def hard_age(self, E: float) -> tuple[bool, Floats]:
        """Time until it is hard: (whether from the end of application, equivalent s).

        Hard means sandable by the sheet; without that time recoatable; without that gelled,
        counted from each pot's mixing. Infinite where the sheet gives none of the three.
        """
        for name in ("sandable", "recoat_opens"):
            stage = self.sheet.stage(name)
            if stage is not None:
                return True, self.stage_age(stage, E) * self.longest()
        age = self.part_age(E)
        return False, np.where(np.isnan(age), inf, age)

    def stage_age(self, stage: StageTime, E: float) -> float:
        """A stage's time as equivalent s at the sheet's reference temperature."""
        T_ref = self.sheet.reference_temperature
        return stage.time * rate(stage.temperature or T_ref, E, T_ref)

    def longest(self, seen: Floats | None = None) -> Floats:
        """The longest that a later stage may take, in multiples of the sheet's time.

        Args:
            seen: observed over forecast gel age, which shows how this mix runs; NaN where nobody
                saw the gel.
        """
        forecast = np.maximum(self.factor, 1.0)
        if seen is not None:
            forecast = np.where(np.isnan(seen), forecast, self.factor * seen)
        return forecast * self.slowest

    def shortest(self, seen: Floats) -> Floats:
        """The shortest that a later stage may take, in multiples of the sheet's time.

        A gel was already there when somebody saw it, so a look shortens this and never
        lengthens it.
        """
        forecast = np.minimum(self.factor, 1.0)
        return np.fmin(forecast, self.factor * seen) * self.fastest


def surface_of(base: Surface, effects: Iterable[str]) -> Surface:
    """The surface of a layer with its additives: added wax makes it a waxed one."""
    return "waxed" if "waxes" in set(effects) else base


def by_law(
    layers: Sequence[Layer], work_out: Callable[[list[Layer]], list[Answer]]
) -> list[Answer]:
    """Work out an answer for each layer, all layers of one sheet and law in one call."""
    places = defaultdict(list)
    for place, layer in enumerate(layers):
        places[id(layer.sheet), id(layer.law)].append(place)
    found: dict[int, Answer] = {}
    for alike in places.values():
        found.update(zip(alike, work_out([layers[place] for place in alike]), strict=True))
    return [found[place] for place in range(len(layers))]


def _row(layer: Layer, pot: LaidPot) -> tuple[float, ...]:
    """A pot as a row, in the order of the columns of `Layers`."""
    later = _later(layer, pot)
    return (
        pot.mixed_at,
        max(layer.finished, pot.mixed_at),
        nan if pot.gelled_at is None else pot.gelled_at,
        nan if pot.cup_gelled_at is None else pot.cup_gelled_at,
        pot.factor,
        1.0 if pot.percent is None else catalyst(pot.percent, layer.law),
        max(later),
        min(later),
    )


def _later(layer: Layer, pot: LaidPot) -> tuple[float, ...]:
    """What the catalyst may do to the times of the later stages: by `LATER_ORDER` and by n."""
    reference = layer.sheet.reference_percent or layer.law.percent
    if pot.percent is None or reference is None:
        return (1.0,)
    share = pot.percent / reference
    return share**-LATER_ORDER, share**-layer.law.n
