"""What is laid down and cures, and how long each of its milestones takes by the sheet.

n and the lot factor act on gel; whether they act on what follows is not known, so the longest
and the shortest that it may take are both told: a caller takes the later or the earlier.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from math import inf, isnan, nan
from typing import TypeVar

import numpy as np

from . import preparation
from .cure_sheet import CureSheet, StageTime, Surface
from .gel_law import GelLaw, catalyst, rate
from .preparation import Cover
from .temperature import Floats

Told = TypeVar("Told")

LATER_ORDER = 0.5
"""The lesser order in catalyst of what follows gel (common practice, no source)."""


@dataclass(frozen=True)
class Layer:
    """One thing laid down that cures.

    Attributes:
        sheet, law: of its pair. percent: effective, of the sheet's peroxide; None undosed.
        factor: of the lots. started: the first pot's mixing; finished: end of application;
            epoch s. surface: as laid, additives counted. cover: what lies on it.
        unsure: filled or cold. gelled_at: when a hand saw it gel, epoch s.
    """

    sheet: CureSheet
    law: GelLaw
    percent: float | None
    factor: float
    started: float
    finished: float
    surface: Surface
    cover: Cover = "none"
    unsure: bool = False
    gelled_at: float | None = None


@dataclass(frozen=True)
class Layers:
    """Layers of one sheet and law: in each array an entry a layer, or one for all.

    Attributes:
        started, finished, gelled_at: epoch s; the last NaN where no hand saw it.
        factor: of the lots. dosed: what the catalyst does to the gel time, as a share.
        slowest, fastest: what it may do to what follows.
    """

    sheet: CureSheet
    law: GelLaw
    started: Floats
    finished: Floats
    gelled_at: Floats
    factor: Floats
    dosed: Floats
    slowest: Floats
    fastest: Floats

    @classmethod
    def of(cls, layers: Sequence[Layer]) -> Layers:
        """These layers; at least one, all of one sheet and law."""
        sheet, law = layers[0].sheet, layers[0].law
        later = [_later(layer) for layer in layers]
        return cls(
            sheet,
            law,
            *np.array(
                [
                    (
                        layer.started,
                        layer.finished,
                        nan if layer.gelled_at is None else layer.gelled_at,
                        layer.factor,
                        1.0 if layer.percent is None else catalyst(layer.percent, law),
                        max(shares),
                        min(shares),
                    )
                    for layer, shares in zip(layers, later, strict=True)
                ]
            ).T,
        )

    @classmethod
    def at(cls, layer: Layer, starts: Floats) -> Layers:
        """One layer, as if laid at each of some starts (epoch s); no hand has seen any of them."""
        alone = cls.of([replace(layer, gelled_at=None)])
        return replace(alone, started=starts, finished=starts + layer.finished - layer.started)

    def gel_age(self, E: float) -> Floats:
        """Equivalent s at the sheet's reference temperature to gel; NaN where nothing gels."""
        law = self.law
        there = rate(self.sheet.reference_temperature, E, law.temperature)
        return law.time * self.factor * self.dosed / there

    def hard_age(self, E: float) -> tuple[bool, Floats]:
        """Whether hardness counts from the end of application, and the equivalent s to it.

        Sandable by the sheet, else recoatable, else gelled from the first pot on; infinite for
        a product without gel points whose sheet times neither.
        """
        for name in ("sandable", "recoat_opens"):
            stage = self.sheet.stage(name)
            if stage is not None:
                return True, self.stage_age(stage, E) * self.longest()
        return False, np.full_like(self.started, inf) if isnan(self.law.time) else self.gel_age(E)

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
        return np.maximum(*self._factors(seen)) * self.slowest

    def shortest(self, seen: Floats) -> Floats:
        """The least that it may take, likewise."""
        return np.minimum(*self._factors(seen)) * self.fastest

    def _factors(self, seen: Floats | None) -> tuple[Floats, Floats]:
        if seen is None:
            return self.factor, np.ones_like(self.factor)
        forecast, known = np.isnan(seen), self.factor * seen
        return np.where(forecast, self.factor, known), np.where(forecast, 1.0, known)


def together(layers: Sequence[Layer], tell: Callable[[list[Layer]], list[Told]]) -> list[Told]:
    """What is told of each layer, where only those of one sheet and law are told of at once."""
    places = defaultdict(list)
    for place, layer in enumerate(layers):
        places[id(layer.sheet), id(layer.law)].append(place)
    found: dict[int, Told] = {}
    for alike in places.values():
        found.update(zip(alike, tell([layers[place] for place in alike]), strict=True))
    return [found[place] for place in range(len(layers))]


def _later(layer: Layer) -> tuple[float, ...]:
    """What the catalyst may do to the times of what follows gel: by the lesser order and by n."""
    reference = layer.sheet.reference_percent or layer.law.percent
    if layer.percent is None or reference is None:
        return (1.0,)
    share = layer.percent / reference
    return share**-LATER_ORDER, share**-layer.law.n


def never(layer: Layer, name: str) -> str | None:
    """Why a milestone can't come for this surface, or None."""
    bare = layer.cover == "none"
    if name == "sandable" and layer.surface == "air_inhibited" and bare:
        return "tacky-surface"
    if name in ("recoat_opens", "recoat_closes") and bare:
        return None if preparation.has_window(layer.surface) else "waxed-surface"
    return None
