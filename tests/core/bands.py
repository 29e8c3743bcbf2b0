"""Bands of a cure time by SciPy, apart from the core: in closed form in a bay held at steps.

The figures are those of the budget, typed again: a later stage follows 0.75 of what makes a gel
late, and is 0.12 unsure beside it; the sheet's gel, pair, lot and pot are 0.05, 0.0866, 0.08 and
0.054 (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import exp, log, sqrt

import numpy as np
from cureyard_service.core.products.evidence import Belief, R
from scipy import integrate, optimize, special
from scipy.stats import norm

OF_OFFSETS, _WEIGHTS = special.roots_legendre(5)
NODES = [
    (offset, k, weight / 4)
    for offset, weight in zip(OF_OFFSETS, _WEIGHTS, strict=True)
    for k in (0, 1)
]
"""Offset of the temperature as a share of its range, which energy, and weight."""
UNTESTED_U = sqrt(0.0866**2 + 0.08**2 + 0.054**2)
"""Pair, lot and pot of a lot that nobody tested, beside the sheet's own points."""
Gets = Callable[[float, float, int], float]
"""The age in equivalent s at a moment, with the temperature K off, and the lower energy or not."""


def later_u(u: float, M: float = 0.0) -> float:
    """How unsure a later stage is, in ln, where its gel is `u` and expected at M."""
    return sqrt(u * u + 0.12**2 + (0.144 * M) ** 2)


def at(p: float, time: float, mean: float, u: float) -> float:
    """The moment of a log-normal time: the sheet's, its mean in ln over that, its spread."""
    return time * exp(mean + float(norm.ppf(p)) * u)


def slower(celsius: float, E: float, reference: float) -> float:
    """How much longer everything takes at °C than at a reference (K): the Arrhenius factor."""
    return exp(E / R * (1 / (celsius + 273.15) - 1 / reference))


def reached(
    p: float, age: Gets, needs: Sequence[float], mean: float, u: float, kelvins: float,
    last: float = 4e6,
) -> float:  # fmt: skip
    """When the chance is `p` in ten nodes: with an age that a clock shows, and what each needs.

    Args:
        needs: equivalent s by the lower and the higher energy. mean, u: of ln(needed).
    """

    def chance(t: float) -> float:
        return sum(
            w * float(norm.cdf((log(max(age(t, x * kelvins, k), 1e-9) / needs[k]) - mean) / u))
            for x, k, w in NODES
        )

    return float(optimize.brentq(lambda t: chance(t) - p, 1.0, last, xtol=1e-4))


def stepped(
    belief: Belief, anchor: float, *steps: tuple[float, float], floor: float = -300.0,
    coldest: float = -300.0,
) -> Gets:  # fmt: skip
    """The age along °C held from some hours on.

    Args:
        floor: it stands still under that. coldest: under it the higher energy is slower still.
    """
    hours = [hour * 3600.0 for hour, _ in steps]

    def age(t: float, off: float, k: int) -> float:
        ends = [*hours[1:], 1e12]
        return sum(
            max(min(t, end) - begin, 0.0) * speed(celsius + off, k)
            for begin, end, (_, celsius) in zip(hours, ends, steps, strict=True)
        )

    def speed(celsius: float, k: int) -> float:
        if celsius < floor:
            return 0.0
        return exp(-0.08 * k * max(coldest - celsius, 0.0)) / slower(celsius, belief.E[k], anchor)

    return age


def after_gel(
    p: float, seen: float, gel: float, time: float, u: float, M: float = 0.0,
    film: bool = False,
) -> float:  # fmt: skip
    """When a later stage comes in a steady bay, once a gel was seen by some moment.

    S is normal about M with spread u, the gel lies 0.05 about it; its posterior is integrated.

    Args:
        gel, time: of the sheet, there. film: whether it was seen in a film and the sheet tells the
            cup's: 0.4 later in ln, 0.25 unsure.
    """
    shift, s = (0.4, 0.25) if film else (0.0, 0.05)

    def agreed(S: float) -> float:
        return float(norm.cdf((log(seen / gel) - shift - S) / s))

    def over(weight: Callable[[float], float]) -> float:
        low, high = M - 7 * u, M + 7 * u
        found, _ = integrate.quad(
            lambda S: norm.pdf(S, M, u) * agreed(S) * weight(S), low, high, limit=400,
            points=[log(seen / gel), M],
        )  # fmt: skip
        return float(found)

    whole, own = over(lambda S: 1.0), later_u(0.0, M)

    def short(t: float) -> float:
        return over(lambda S: float(norm.cdf((log(t / time) - S + 0.25 * M) / own))) / whole - p

    return float(optimize.brentq(short, time / 20, time * 20, xtol=1e-2))


def widths(earliest: float | None, latest: float | None) -> float:
    """The width of a band in ln."""
    assert earliest is not None
    assert latest is not None
    return float(np.log(latest / earliest))
