"""A mixture of normal distributions, and the nodes that stand for what is not known.

What is not linear goes through as a distribution (JCGM 101:2008): one constant offset of the
temperature by five nodes of Gauss and Legendre over a range, and the activation energy by two.
"""

from __future__ import annotations

from collections.abc import Callable
from math import erfc, sqrt
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

OFFSETS = (-0.906179845938664, -0.5384693101056831, 0.0, 0.5384693101056831, 0.906179845938664)
_OF_OFFSETS = (
    0.11846344252809454, 0.23931433524968324, 0.28444444444444444,
    0.23931433524968324, 0.11846344252809454,
)  # fmt: skip
"""Nodes of Gauss and Legendre on [-1, 1], and their weights, which add up to 1."""

SHIFT = np.repeat(OFFSETS, 2)
"""Of each of the ten nodes, the offset of its temperature as a share of the range."""
ENERGY = np.tile([0, 1], len(OFFSETS))
"""Of each of the ten nodes, which of the two activation energies it has: 0 the lower."""
WEIGHT = np.repeat(_OF_OFFSETS, 2) / 2
"""Of each of the ten nodes."""

_STANDARD = NormalDist()
_MOST_STEPS = 60
_FAR = 1e-12
_NEAR = 1e-8


def normal(z: Floats) -> Floats:
    """The standard normal distribution function."""
    scaled = (z.ravel() * -sqrt(0.5)).tolist()
    return np.array([erfc(each) / 2 for each in scaled]).reshape(z.shape)


def deviation(p: float) -> float:
    """The standard deviations at which the normal distribution function is `p`."""
    return _STANDARD.inv_cdf(p)


def deviations(p: Floats) -> Floats:
    """As `deviation`, for an array of chances; those of 0 and 1 are far out."""
    inside = np.clip(p.ravel(), _FAR, 1 - _FAR).tolist()
    return np.array([_STANDARD.inv_cdf(each) for each in inside]).reshape(p.shape)


def root(rising: Callable[[Floats], Floats], low: Floats, high: Floats, near: float) -> Floats:
    """Where a rising function is zero, for each entry of its argument.

    By the Illinois rule: false position that halves the value of an end which stays.

    Args:
        rising: at most zero at `low` and at least zero at `high`.
        near: the value that counts as zero; where the function jumps over it, the upper side of
            the jump is given.
    """
    low, high = low.astype(float), high.astype(float)
    below, above = rising(low), rising(high)
    least = np.maximum((high - low) * 1e-9, 1e-9)
    found, best = np.where(-below < above, low, high), np.minimum(np.abs(below), np.abs(above))
    stayed = np.zeros(low.shape, int)
    for step in range(_MOST_STEPS):
        width = high - low
        if not ((best > near) & (width > least)).any():
            break
        share = np.divide(-below, above - below, out=np.full_like(low, 0.5), where=above > below)
        if step % 4 == 3:
            share = np.full_like(low, 0.5)
        at = low + np.clip(share, 1e-6, 1 - 1e-6) * width
        value = rising(at)
        nearer = np.abs(value) < best
        found, best = np.where(nearer, at, found), np.where(nearer, np.abs(value), best)
        under = value < 0
        above = np.where(under & (stayed == 1), above / 2, above)
        below = np.where(~under & (stayed == -1), below / 2, below)
        low, below = np.where(under, at, low), np.where(under, value, below)
        high, above = np.where(under, high, at), np.where(under, above, value)
        stayed = np.where(under, 1, -1)
    return np.where(best > near, high, found)


def quantile(mean: Floats, sd: Floats, p: float) -> float:
    """Where the mixture of the ten nodes' normals is `p`.

    Args:
        mean, sd: of each node.
    """
    z = deviation(p)
    each = mean + z * sd

    def short(at: Floats) -> Floats:
        chance = WEIGHT @ normal((at[0] - mean) / sd)
        return deviations(np.array([chance])) - z

    return float(root(short, np.array([each.min()]), np.array([each.max()]), _NEAR)[0])
