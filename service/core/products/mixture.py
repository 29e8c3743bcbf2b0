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

_MOST_STEPS = 60
_NEAR = 1e-8
_FLAT = 1e-12
_FAR, _STEP = 9.0, 2.0**-11
"""The table's reach and step, in standard deviations."""
_Z = np.arange(-_FAR, _FAR + _STEP, _STEP)
_PHI = np.array([erfc(each) / 2 for each in (-_Z * sqrt(0.5)).tolist()])


def normal(z: Floats) -> Floats:
    """The standard normal distribution function, to 1e-8: from a table, as it is asked so often."""
    place = np.clip((z + _FAR) / _STEP, 0.0, len(_Z) - 1.001)
    below = place.astype(np.intp)
    left = _PHI[below]
    return np.asarray(left + (place - below) * (_PHI[below + 1] - left))


def deviation(p: float) -> float:
    """The standard deviations at which the normal distribution function is `p`."""
    return NormalDist().inv_cdf(p)


def deviations(p: Floats) -> Floats:
    """As `deviation`, for an array of chances, by the same table as `normal`."""
    return np.asarray(np.interp(p, _PHI, _Z))


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
