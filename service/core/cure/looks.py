"""What looks at a layup say of its pots: S is weighed by how well it agrees with each look.

A look brackets a stage: 'not yet' at a, 'there' at b. In each of the ten nodes S is taken at 48
points, and each point's weight is multiplied by the chance that the stage fell inside the bracket.
So a look moves every stage: one who finds it open early is told that it shuts early.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache, cached_property
from math import prod
from typing import NamedTuple

from .. import arrays as np
from ..arrays import Flags, Floats, Places
from ..frozen import frozen
from ..products import budget
from ..products.budget import Parts
from ..products.mixture import WEIGHTS, nodes, normal
from .clocks import Clocks, Running
from .layers import Layers

REACH = 4.5
"""How far S is looked for on either side of its mean, in standard uncertainties."""
OF_GEL = 0.05
"""How unsure the moment of a gel is beside S."""
FILM_AFTER_CUP, FILM_U = 0.4, 0.25
"""A film's gel against a cup's, in ln, where the sheet gives the cup's alone (from memory)."""
UNLIKELY = 1e-3
"""Looks of a chance under this are doubted until they are said again: it may have been another
part. They open nothing surely, and say nothing of S but that the window may shut sooner."""
_NONE = 1e-300
_FAR = 8.0
"""Deviations beyond which a chance is reckoned by its tail: the table ends there."""


@frozen
class Weighed:
    """S after the looks.

    Attributes:
        S, before: of each of 480 points, and its weight before the looks; a column for each pot.
        doubted: whether the looks are left out, for each pot.
        agreed: by stage, the chance of the looks at it at each point.
        nearest: for each pot, all weight on the point that agrees best with its looks: for looks so
            far from every point that no chance is left to weigh by. None where there are none.
    """

    S: Floats
    before: Floats
    doubted: Flags
    agreed: dict[str, Floats]
    nearest: Floats | None = None

    @cached_property
    def chance(self) -> Floats:
        """The chance of all looks together, for each pot."""
        return np.asarray((self.before * prod(self.agreed.values())).sum(axis=0))

    def weight(self, *without: str, trusting: bool = False) -> Floats:
        """The weight of each point by the looks, without those at some stages.

        What was seen of a stage itself cuts its own chance, and would count twice.

        Args:
            trusting: whether looks that are doubted count all the same.
        """
        others = [agreed for name, agreed in self.agreed.items() if name not in without]
        seen = self.before * prod(others)
        chance = seen.sum(axis=0)
        believed = trusting | ~self.doubted
        kept = (chance > _NONE) & believed
        weight = np.where(kept, seen / np.maximum(chance, _NONE), self.before)
        if self.nearest is None:
            return weight
        return np.where((chance <= _NONE) & believed, self.nearest, weight)


@cache
def _of_legendre() -> tuple[Floats, Floats]:
    """The points of a clock on [-1, 1], and their weights (Gauss and Legendre)."""
    return np.polynomial.legendre.leggauss(48)


@cache
def clock_of_points() -> Places:
    """The clock of each of the 480 points."""
    return np.repeat(np.arange(len(WEIGHTS)), len(_of_legendre()[0]))


def looked_at(layers: Layers) -> bool:
    """Whether any look at these layers says something of S."""
    names = ("in_cup", "wet_in_cup", "on_part", "wet_on_part", "opened", "hard", "green", "shut")
    return any(not np.isnan(layers.column(name)).all() for name in names)


def later_sd(M: Floats, parts: Parts) -> Floats:
    """How unsure a later stage is beside its gel, where S is expected to be M."""
    return np.asarray(np.sqrt(parts.stage**2 + (parts.follows * M) ** 2))


def weigh(layers: Layers, clocks: Running) -> Weighed:
    """Weigh S by all looks at some layers."""
    M = np.stack([layers.column("dosed_low"), layers.column("dosed_high")])[nodes().energy]
    u = layers.column("dosed_u")
    at, weight = _of_legendre()
    S = np.repeat(M, len(at), axis=0) + REACH * np.tile(at, len(M))[:, None] * u
    share = np.tile(weight * REACH * _density(REACH * at), len(M))[:, None]
    before = np.repeat(nodes().weight, len(at))[:, None] * share
    agreed = _agreed(layers, clocks, S, np.repeat(M, len(at), axis=0))
    chance = np.asarray((before * prod(agreed.values())).sum(axis=0))
    wet, earlier = (
        (before * still).sum(axis=0)
        for still in _still_wet(layers, clocks, S, np.repeat(M, len(at), axis=0))
    )
    nearest = None
    if (chance <= _NONE).any():
        nearest = _nearest(layers, clocks, S, np.repeat(M, len(at), axis=0))
    return Weighed(
        S, np.broadcast_to(before, S.shape), _doubted(layers, chance, wet, earlier), agreed, nearest
    )


def _nearest(layers: Layers, clocks: Running, S: Floats, M: Floats) -> Floats:
    """For each pot, all weight on the point that agrees best with its looks."""
    best = np.zeros_like(S)
    for look in _looks(layers, clocks, S, M):
        if not np.isnan(look.ages).any():
            best += _log_by(layers, look, look.there, 1) + _log_by(layers, look, look.not_yet, -1)
    weight = np.zeros_like(S)
    weight[best.argmax(axis=0), np.arange(S.shape[1])] = 1.0
    return weight


def _log_by(layers: Layers, look: _Look, name: str | None, sign: int) -> Floats:
    """The logarithm of the chance that a stage came by a look, or with −1 that it did not."""
    z = sign * _deviations(layers, look, name)
    return np.where(np.isnan(z), 0.0, _log_normal(np.where(np.isnan(z), 0.0, z)))


def _log_normal(z: Floats) -> Floats:
    """The logarithm of the normal distribution function, far out in its lower tail as well."""
    far = np.minimum(z, -_FAR)
    tail = -far * far / 2 - np.log(-far) - np.log(2 * np.pi) / 2
    return np.where(z < -_FAR, tail, np.log(normal(np.maximum(z, -_FAR))))


def _doubted(layers: Layers, chance: Floats, wet: Floats, earlier: Floats) -> Flags:
    """For each pot, whether its looks are too unlikely, and the unlikely one was not said again.

    Only a second 'not gelled' says an unlikely one again.

    Args:
        chance: of all looks together. wet, earlier: of the last 'not gelled' alone, and of the one
            before it.
    """
    wet_again = earlier < UNLIKELY
    by_wet = (wet < UNLIKELY) & ~wet_again
    by_others = chance < UNLIKELY * np.where(wet < UNLIKELY, wet, 1.0)
    return np.asarray(by_wet | (by_others & (layers.column("said_again") == 0)))


def _still_wet(layers: Layers, clocks: Running, S: Floats, M: Floats) -> Iterator[Floats]:
    """At each point, the chance of the last 'not gelled' alone, and of the one before it."""
    gels = [look for look in _looks(layers, clocks, S, M) if look.stage in ("gel", "film")]
    gels = [look for look in gels if not np.isnan(look.ages).any()]
    for before in ("", "_before"):
        still = [1 - _by(layers, look, f"{look.not_yet}{before}", 0.0) for look in gels]
        yield np.asarray(prod(still, start=np.ones_like(S)))


def _density(z: Floats) -> Floats:
    return np.asarray(np.exp(-z * z / 2) / np.sqrt(2 * np.pi))


class _Look(NamedTuple):
    """A stage that hands looked at: its clocks, since when, its age by each energy, its spread.

    Attributes:
        not_yet, there: the columns of the looks, or None.
    """

    stage: str
    clocks: Clocks
    since: Floats
    ages: Floats
    mean: Floats
    sd: Floats | float
    not_yet: str | None
    there: str | None


def _agreed(layers: Layers, clocks: Running, S: Floats, M: Floats) -> dict[str, Floats]:
    """By stage, the chance of the looks at it at each point."""
    return {
        look.stage: np.maximum(
            _by(layers, look, look.there, 1.0) - _by(layers, look, look.not_yet, 0.0), 0.0
        )
        for look in _looks(layers, clocks, S, M)
        if not np.isnan(look.ages).any()
    }


def _looks(layers: Layers, clocks: Running, S: Floats, M: Floats) -> Iterator[_Look]:
    sheet, started, finished = layers.sheet, layers.started, layers.finished
    pausing, later, wide = (
        clocks.pausing,
        S - (1 - budget.FOLLOWS) * M,
        later_sd(M, layers.law.parts),
    )
    gel = S + _anchor_less_reference(layers)[clock_of_points()]
    cup, part = np.full(2, layers.law.time), np.array([layers.of_film(E) for E in layers.E])
    yield _Look("gel", pausing, started, cup, gel, OF_GEL, "wet_in_cup", "in_cup")
    if sheet.film_gel is None:
        in_film = gel + FILM_AFTER_CUP
        yield _Look("film", pausing, started, cup, in_film, FILM_U, "wet_on_part", "on_part")
    else:
        yield _Look("film", pausing, started, part, S, OF_GEL, "wet_on_part", "on_part")
    for name, clock, since, not_yet, there in (
        ("recoat_opens", pausing, finished, None, "opened"),
        ("sandable", pausing, finished, None, "hard"),
        ("recoat_closes", clocks.steady, started, "green", "shut"),
    ):
        stage = sheet.stage(name)
        if stage is not None:
            ages = np.array([layers.of_stage(stage, E) for E in layers.E])
            yield _Look(name, clock, since, ages, later, wide, not_yet, there)


def _by(layers: Layers, look: _Look, name: str | None, nobody: float) -> Floats:
    """The chance at each point that a stage came by a look; `nobody` where nobody looked."""
    z = _deviations(layers, look, name)
    known = np.where(np.isnan(z), 0.0, z)
    chance = normal(known)
    if (known < -_FAR).any():
        chance = np.exp(_log_normal(known))
    return np.where(np.isnan(z), nobody, chance)


def _deviations(layers: Layers, look: _Look, name: str | None) -> Floats:
    """How many deviations after the stage's mean a look came at each point; NaN where none did."""
    if name is None or np.isnan(layers.column(name)).all():
        return np.full_like(look.mean, np.nan)
    at = layers.column(name)
    shown = look.clocks.at(np.where(np.isnan(at), look.since, at)) - look.clocks.at(look.since)
    taken = np.log(np.maximum(shown, 1e-9)) - np.log(look.ages)[nodes().energy][:, None]
    z = (taken[clock_of_points()] - look.mean) / look.sd
    return np.where(np.isnan(at), np.nan, z)


def _anchor_less_reference(layers: Layers) -> Floats:
    """What S is more against the anchor's percent than against that of the sheet's stages."""
    low = layers.column("gel_low") - layers.column("dosed_low")
    high = layers.column("gel_high") - layers.column("dosed_high")
    return np.asarray(np.stack([low, high])[nodes().energy])
