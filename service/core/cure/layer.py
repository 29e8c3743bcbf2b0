"""What is laid down and cures, and how long each of its milestones takes by the sheet.

n and the lot factor act on gel; whether they act on what follows is not known, so the longest
and the shortest that it may take are both told: a caller takes the later or the earlier.

Facts of a pot stay with the pot. A layer has come to something when its last pot has, and is
too late for something when its first pot is.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from math import inf, nan
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from ..bays.temperature import Floats
from ..products.cure_sheet import CureSheet, StageTime, Surface
from ..products.gel_law import GelLaw, catalyst, rate
from . import preparation
from .preparation import Cover

Told = TypeVar("Told")

LATER_ORDER = 0.5
"""The lesser order in catalyst of what follows gel (common practice, no source)."""


@dataclass(frozen=True)
class LaidPot:
    """A pot that went into a layer, or all of a layer that was not mixed here.

    Attributes:
        percent: effective, of the sheet's peroxide; None undosed. factor: of its lot.
        mixed_at: epoch s. unsure: filled or cold.
        gelled_at, wet_at: when a hand saw it gelled on the part, and when it was last found wet
            there, if no later word says that it set. cup_gelled_at, cup_wet_at: likewise of the
            rest in its cup. Epoch s; None if nobody did.
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
    """One thing laid down that cures.

    Attributes:
        sheet, law: of its pair. pots: that went into it, at least one. finished: end of
            application, epoch s. surface: as laid, additives counted. cover: what lies on it.
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
    """Layers of one sheet and law, pot by pot: in each array an entry a pot, or one for all.

    Attributes:
        started, finished: each pot's mixing, and the end of its layer's application, epoch s.
        on_part, in_cup: when a hand saw it gelled there, epoch s; NaN where nobody did.
        factor: of the lots. dosed: what the catalyst does to the gel time, as a share.
        slowest, fastest: what it may do to what follows.
        first: the place of each layer's first pot; None where each layer has one pot.
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
        """These layers; at least one, all of one sheet and law."""
        counts = [len(layer.pots) for layer in layers]
        rows = [_row(layer, pot) for layer in layers for pot in layer.pots]
        first = None if len(rows) == len(layers) else np.cumsum([0, *counts[:-1]])
        one_each = cls(layers[0].sheet, layers[0].law, *np.array(rows, float).T)
        return replace(one_each, first=first)

    @classmethod
    def at(cls, layer: Layer, starts: Floats) -> Layers:
        """One layer, as if begun at each of some starts (epoch s); no hand has seen any of them."""
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
        """Of each layer the latest of its pots' moments, which are in the last dimension."""
        if self.first is None:
            return moments
        return np.asarray(np.maximum.reduceat(moments, self.first, axis=-1))

    def soonest(self, moments: Floats) -> Floats:
        """Of each layer the earliest of its pots' moments, likewise."""
        if self.first is None:
            return moments
        return np.asarray(np.minimum.reduceat(moments, self.first, axis=-1))

    def gel_age(self, E: float) -> Floats:
        """Equivalent s at the sheet's reference temperature to gel in a cup; NaN where nothing
        gels.
        """
        law = self.law
        there = rate(self.sheet.reference_temperature, E, law.temperature)
        return law.time * self.factor * self.dosed / there

    def part_age(self, E: float) -> Floats:
        """As `gel_age`, to gel on the part: by the sheet's time in a film, else as in the cup."""
        sheet, law = self.sheet, self.law
        if sheet.film_gel is None:
            return self.gel_age(E)
        reference = sheet.reference_percent
        usual = 1.0 if reference is None else catalyst(reference, law)
        return sheet.film_gel * self.factor * self.dosed / usual

    def hard_age(self, E: float) -> tuple[bool, Floats]:
        """Whether hardness counts from the end of application, and the equivalent s to it.

        Sandable by the sheet, else recoatable, else gelled from each pot's mixing on; infinite
        for a product without gel times whose sheet times neither.
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
        """The most that what follows gel may take, in multiples of the sheet's time.

        Args:
            seen: how a gel that was seen ran against its forecast, which says how this mix
                runs; NaN where none was.
        """
        forecast = np.maximum(self.factor, 1.0)
        if seen is not None:
            forecast = np.where(np.isnan(seen), forecast, self.factor * seen)
        return forecast * self.slowest

    def shortest(self, seen: Floats) -> Floats:
        """The least that it may take, likewise.

        A gel is seen at the latest when somebody looks, so a look makes it shorter, never longer.
        """
        forecast = np.minimum(self.factor, 1.0)
        return np.fmin(forecast, self.factor * seen) * self.fastest


def together(layers: Sequence[Layer], tell: Callable[[list[Layer]], list[Told]]) -> list[Told]:
    """What is told of each layer, where only those of one sheet and law are told of at once."""
    places = defaultdict(list)
    for place, layer in enumerate(layers):
        places[id(layer.sheet), id(layer.law)].append(place)
    found: dict[int, Told] = {}
    for alike in places.values():
        found.update(zip(alike, tell([layers[place] for place in alike]), strict=True))
    return [found[place] for place in range(len(layers))]


def _row(layer: Layer, pot: LaidPot) -> tuple[float, ...]:
    """A pot of a layer, in the order of the columns of `Layers`."""
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
    """What the catalyst may do to the times of what follows gel: by the lesser order and by n."""
    reference = layer.sheet.reference_percent or layer.law.percent
    if pot.percent is None or reference is None:
        return (1.0,)
    share = pot.percent / reference
    return share**-LATER_ORDER, share**-layer.law.n


def never(layer: Layer, name: str) -> str | None:
    """Why a milestone can't come for this surface, or None."""
    bare = layer.cover == "none"
    if name == "sandable" and layer.surface == "air_inhibited" and bare:
        return "tacky-surface"
    if name in ("recoat_opens", "recoat_closes") and bare:
        return None if preparation.has_window(layer.surface) else "waxed-surface"
    return None
