"""A mixture of normal distributions, and the nodes that stand for what is not known.

What is not linear goes through as a distribution (JCGM 101:2008): one constant offset of the
temperature by five nodes of Gauss and Legendre over a range, and the activation energy by two.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cache
from math import erfc, exp, sqrt
from statistics import NormalDist
from typing import NamedTuple

from .. import arrays as np
from ..arrays import Floats, Places

OFFSETS = (-0.906179845938664, -0.5384693101056831, 0.0, 0.5384693101056831, 0.906179845938664)
_OF_OFFSETS = (
    0.11846344252809454, 0.23931433524968324, 0.28444444444444444,
    0.23931433524968324, 0.11846344252809454,
)  # fmt: skip
"""Nodes of Gauss and Legendre on [-1, 1], and their weights, which add up to 1."""

SHIFTS = tuple(offset for offset in OFFSETS for _ in range(2))
"""Of each of the ten nodes, the offset of its temperature as a share of the range."""
ENERGIES = (0, 1) * len(OFFSETS)
"""Of each of the ten nodes, which of the two activation energies it has: 0 the lower."""
WEIGHTS = tuple(weight / 2 for weight in _OF_OFFSETS for _ in range(2))
"""Of each of the ten nodes."""

_MOST_STEPS = 60
_NEAR = 1e-8
_FLAT = 1e-12
_FAR, _STEP = 9.0, 2.0**-11
"""The table's reach and step, in standard deviations."""


class Nodes(NamedTuple):
    """The ten nodes as arrays: `SHIFTS`, `ENERGIES` and `WEIGHTS`."""

    shift: Floats
    energy: Places
    weight: Floats


@cache
def nodes() -> Nodes:
    """The ten nodes as arrays."""
    return Nodes(np.array(SHIFTS), np.array(ENERGIES), np.array(WEIGHTS))


@cache
def _table() -> tuple[Floats, Floats]:
    """Deviations, and the normal distribution function of each."""
    z = np.arange(-_FAR, _FAR + _STEP, _STEP)
    return z, np.array([erfc(each) / 2 for each in (-z * sqrt(0.5)).tolist()])


def normal(z: Floats) -> Floats:
    """The standard normal distribution function, to 1e-8: from a table, as it is asked so often."""
    deviates, phi = _table()
    place = np.clip((z + _FAR) / _STEP, 0.0, len(deviates) - 1.001)
    below = place.astype(np.intp)
    left = phi[below]
    return np.asarray(left + (place - below) * (phi[below + 1] - left))


def deviation(p: float) -> float:
    """The standard deviations at which the normal distribution function is `p`."""
    return NormalDist().inv_cdf(p)


def deviations(p: Floats) -> Floats:
    """As `deviation`, for an array of chances, by the same table as `normal`."""
    deviates, phi = _table()
    return np.asarray(np.interp(p, phi, deviates))


def root(
    rising: Callable[[Floats], Floats],
    low: Floats,
    high: Floats,
    near: float,
    guess: Floats | None = None,
    stride: Floats | None = None,
) -> Floats:
    """Where a rising function is zero, for each entry of its argument.

    By secants that never leave the ends between which the zero lies; where they do not close in,
    by halving.

    Args:
        rising: at most zero at `low` and at least zero at `high`.
        near: the value that counts as zero; where the function jumps over it, the upper side of
            the jump is given.
        guess: where to begin, by default in the middle. stride: how far the argument goes while
            the function rises by one, about.
    """
    low, high = low.astype(float), high.astype(float)
    at = (low + high) / 2 if guess is None else np.clip(guess, low, high)
    least = np.maximum((high - low) * 1e-9, 1e-9)
    value = rising(at)
    slope = (high - low) / 4 if stride is None else stride
    for step in range(_MOST_STEPS):
        under = value < 0
        low, high = np.where(under, at, low), np.where(under, high, at)
        if not ((np.abs(value) > near) & (high - low > least)).any():
            break
        wanted = at - value * slope
        astray = ~((wanted > low) & (wanted < high)) | (step % 8 == 7)
        following = np.where(astray, (low + high) / 2, wanted)
        following = np.where(np.abs(value) > near, following, at)
        found = rising(following)
        risen = found - value
        slope = np.divide(following - at, risen, out=slope.copy(), where=np.abs(risen) > _FLAT)
        at, value = following, found
    return np.where(np.abs(value) > near, high, at)


def quantile(mean: Sequence[float], sd: Sequence[float], p: float) -> float:
    """Where the mixture of the ten nodes' normals is `p`.

    By Newton's steps between the least and the greatest of the normals' own, in plain numbers: a
    dose asks for three, and for no array.

    Args:
        mean, sd: of each node.
    """
    z = deviation(p)
    each = [m + z * s for m, s in zip(mean, sd, strict=True)]
    low, high = min(each), max(each)
    at = (low + high) / 2
    for step in range(_MOST_STEPS):
        chance, density = _mixed(mean, sd, at)
        reached = deviation(chance)
        if abs(z - reached) <= _NEAR:
            break
        low, high = (at, high) if reached < z else (low, at)
        at += (z - reached) * exp(-reached * reached / 2) / max(density, _FLAT)
        if not low < at < high or step % 8 == 7:
            at = (low + high) / 2
    return at


def _mixed(mean: Sequence[float], sd: Sequence[float], at: float) -> tuple[float, float]:
    """The mixture's distribution function, and √2π times its density."""
    chance = density = 0.0
    for weight, m, s in zip(WEIGHTS, mean, sd, strict=True):
        away = (at - m) / s
        chance += weight * erfc(-away * sqrt(0.5)) / 2
        density += weight * exp(-away * away / 2) / s
    return chance, density
