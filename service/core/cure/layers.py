"""Layers of one sheet and law as arrays, with one column for each pot: how long each stage takes.

S is the logarithm of a pot's true gel time over its sheet's; see `products/evidence.py`. Ages are
equivalent seconds at the law's anchor.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from functools import cached_property
from math import inf, nan
from statistics import NormalDist
from typing import NamedTuple

from .. import arrays as np
from ..arrays import Floats, Places
from ..frozen import frozen
from ..products import budget
from ..products.cure_sheet import CureSheet, StageTime
from ..products.gel_law import GelLaw, coldest_told, dose, rate
from .clocks import Law
from .layer import LaidPot, Layer

SPREADS = (0.0, 0.5642, 0.8463, 1.0294, 1.1630, 1.2672, 1.3522, 1.4236, 1.4850, 1.5388)
"""How far the greatest of 1, 2, … 10 equal pots lies above their mean, in standard deviations: the
expected greatest of so many normal deviates (from memory; checked by integration)."""


HARD_BY = ("sandable", "recoat_opens")
"""The stages by which a layer is hard, the surest first; without either, its gel."""


class _Row(NamedTuple):
    """One pot; moments in epoch s, NaN where nobody looked."""

    started: float
    finished: float
    in_cup: float
    wet_in_cup: float
    on_part: float
    wet_on_part: float
    wet_in_cup_before: float
    wet_on_part_before: float
    opened: float
    hard: float
    green: float
    shut: float
    said_again: float
    gel_low: float
    gel_high: float
    gel_u: float
    dosed_low: float
    dosed_high: float
    dosed_u: float
    among: float


@frozen
class Layers:
    """Some layers, at least one, all of one sheet and law.

    Attributes:
        E: the two activation energies of their beliefs, J/mol.
        rows: a row for each fact of `_Row`, a column for each pot.
        first: the column of each layer's first pot.
    """

    sheet: CureSheet
    law: GelLaw
    E: tuple[float, float]
    rows: Floats
    first: Places

    @classmethod
    def of(cls, layers: Sequence[Layer]) -> Layers:
        """The arrays of some layers."""
        counts = [len(layer.pots) for layer in layers]
        rows = [row for layer in layers for row in _rows(layer)]
        first = np.cumsum([0, *counts[:-1]])
        start = layers[0]
        E = start.pots[0].belief.E
        return cls(start.sheet, start.law, E, np.array(rows, float).T, first)

    @classmethod
    def at(cls, layer: Layer, starts: Floats) -> Layers:
        """One layer as if begun at each of some starts (epoch s), before any hand saw it."""
        unseen = replace(
            layer,
            pots=tuple(
                replace(pot, gelled_at=None, wet_at=None, cup_gelled_at=None, cup_wet_at=None)
                for pot in layer.pots
            ),
            opened_at=None, hard_at=None, green_at=None, shut_at=None,
        )  # fmt: skip
        one = cls.of([unseen])
        rows = np.tile(one.rows, len(starts))
        rows[:2] += np.repeat(starts - layer.started, len(layer.pots))
        return replace(one, rows=rows, first=np.arange(len(starts)) * len(layer.pots))

    def column(self, name: str) -> Floats:
        """A fact of each pot."""
        return np.asarray(self.rows[_Row._fields.index(name)])

    @cached_property
    def started(self) -> Floats:
        """When each pot was mixed, epoch s."""
        return self.column("started")

    @cached_property
    def finished(self) -> Floats:
        """When each pot's layer was finished, not before the pot was mixed; epoch s."""
        return self.column("finished")

    @cached_property
    def owner(self) -> Places:
        """The layer of each pot."""
        counts = np.diff(np.append(self.first, self.rows.shape[1]))
        return np.repeat(np.arange(len(self.first)), counts)

    @cached_property
    def clock_law(self) -> Law:
        """How the cure clocks of these layers run."""
        coldest = coldest_told(self.sheet, self.law)
        return Law(self.E, self.law.temperature, self.sheet.cure_min, coldest)

    def last(self, moments: Floats) -> Floats:
        """For each layer the latest moment of its pots, along the last dimension."""
        return np.asarray(np.maximum.reduceat(moments, self.first, axis=-1))

    def soonest(self, moments: Floats) -> Floats:
        """For each layer the earliest moment of its pots, along the last dimension."""
        return np.asarray(np.minimum.reduceat(moments, self.first, axis=-1))

    def of_stage(self, stage: StageTime, E: float) -> float:
        """A stage's time by the sheet as an age."""
        T = stage.temperature or self.sheet.reference_temperature
        return stage.time * rate(T, E, self.law.temperature)

    def of_film(self, E: float) -> float:
        """A film's gel time by the sheet as an age; NaN where the sheet gives none."""
        film = self.sheet.film_gel
        if film is None:
            return nan
        return film * rate(self.sheet.reference_temperature, E, self.law.temperature)

    def hard_age(self) -> tuple[bool, Floats]:
        """Time until it is hard, as expected: (whether from the end of application, ages).

        Hard means sandable by the sheet; without that time recoatable; without that gelled,
        counted from each pot's mixing. Infinite where the sheet gives none of the three.
        """
        means = (self.column("dosed_low") + self.column("dosed_high")) / 2
        for name in HARD_BY:
            stage = self.sheet.stage(name)
            if stage is not None:
                return True, self.of_stage(stage, self.law.E) * np.exp(budget.FOLLOWS * means)
        age = self.of_film(self.law.E)
        if np.isnan(age):
            age, means = self.law.time, (self.column("gel_low") + self.column("gel_high")) / 2
        return False, np.full_like(means, inf) if np.isnan(age) else age * np.exp(means)


def _rows(layer: Layer) -> list[_Row]:
    alike = Counter((pot.percent, pot.belief) for pot in layer.pots)
    return [_row(layer, pot, alike[pot.percent, pot.belief]) for pot in layer.pots]


def _row(layer: Layer, pot: LaidPot, alike: int) -> _Row:
    reference = layer.sheet.reference_percent or layer.law.percent
    (gel_low, gel_high), gel_u = pot.belief.dosed(dose(pot.percent, layer.law.percent))
    (low, high), u = pot.belief.dosed(dose(pot.percent, reference))
    return _Row(
        pot.mixed_at, max(layer.finished, pot.mixed_at),
        _seen(pot.cup_gelled_at), _seen(pot.cup_wet_at), _seen(pot.gelled_at), _seen(pot.wet_at),
        _seen(pot.cup_wet_before), _seen(pot.wet_before),
        _seen(layer.opened_at), _seen(layer.hard_at), _seen(layer.green_at), _seen(layer.shut_at),
        float(layer.said_again),
        gel_low, gel_high, gel_u,
        low, high, u,
        layer.law.parts.pot * _spread(alike),
    )  # fmt: skip


def _seen(at: float | None) -> float:
    return nan if at is None else at


def _spread(count: int) -> float:
    """The expected greatest of so many normal deviates."""
    if count <= len(SPREADS):
        return SPREADS[count - 1]
    return NormalDist().inv_cdf((count - 0.375) / (count + 0.25))
