"""When a wet place may have dried to a figure: a fit of its readings by two shapes of drying.

Two shapes count alike: an exponential, and the diffusion out of a sheet that dries from one face
(Crank, The Mathematics of Diffusion, 1975, 4.18, from memory). Each is tried with many times τ and
three levels to settle at, and each trial counts by how well it fits. So the answer is a spread of
days and never one day: a single exponential that is free to settle anywhere, on readings that
diffuse exactly, settles too high and too early.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import inf, pi, sqrt
from typing import Literal

from .. import arrays as np
from ..arrays import Floats
from ..frozen import frozen

Why = Literal["few_readings", "hardly_falls", "levelling_off", "no_shape_fits"]
"""Why no day is said."""

Shape = Literal["exponential", "diffusion"]
SHAPES: tuple[Shape, ...] = ("exponential", "diffusion")

LEAST_READINGS, LEAST_DAYS = 4, 14.0
LEAST_FALL_U = 3.0
"""The least fall from the first reading to the last, in their u."""
LOWER_CHI2 = 3.84
"""95 % point of χ² with 1 degree of freedom: what one more free number must gain."""
AHEAD = 3.0
"""Days later than so many times the span of the readings are not said."""

TAU_DAYS, TAU_RATIO, TAU_STEPS = 2.0, 250.0, 240
SETTLED_STEPS = 41
NODES = ((-sqrt(3.0), 1 / 6), (0.0, 2 / 3), (sqrt(3.0), 1 / 6))
"""Three-point Gauss-Hermite: (standard deviations, weight)."""
EDGES = (0.05, 0.50, 0.95)

_X = 40.0
"""At x = 40 nothing is left."""
SHORT_X, TERMS = 0.1, 12
"""Below SHORT_X the series wants many terms, and the law of the short time serves."""


@frozen
class Points:
    """Readings of one place by one meter in one mode, oldest first.

    Attributes:
        days: since drying began. values, u: scale points; each u over 0.
    """

    days: Floats
    values: Floats
    u: Floats

    @classmethod
    def of(cls, days: Sequence[float], values: Sequence[float], u: Sequence[float]) -> Points:
        """From plain numbers."""
        return cls(np.asarray(days, float), np.asarray(values, float), np.asarray(u, float))

    @property
    def span(self) -> float:
        """Days from the first reading to the last."""
        return float(self.days[-1] - self.days[0]) if len(self.days) else 0.0


@frozen
class Dries:
    """Days since drying began at which the place is at the figure, by chance 5, 50 and 95 %.

    Attributes:
        why: why no day is said; then all three are None. One alone is None where it is too far
            ahead to be said.
        settles: the level at which the readings settle, where they level off.
    """

    earliest: float | None = None
    at: float | None = None
    latest: float | None = None
    why: Why | None = None
    settles: float | None = None


def dries(points: Points, reference: float, reference_u: float, figure: float) -> Dries:
    """When a place is at the figure.

    Args:
        reference, reference_u: of dry places, scale points. figure: to dry to.
    """
    if len(points.days) < LEAST_READINGS or points.span < LEAST_DAYS:
        return Dries(why="few_readings")
    if points.values[0] - points.values[-1] < LEAST_FALL_U * max(points.u[0], points.u[-1]):
        return Dries(why="hardly_falls")
    settled = np.asarray([reference + z * reference_u for z, _ in NODES])
    fitted = _fit(points, settled)
    lower, level = levelling(points, reference, float(fitted.chi2.min()))
    if lower > LOWER_CHI2 and level > figure:
        return Dries(why="levelling_off", settles=level)
    if fitted.chi2.min() > chi2_99(len(points.days) - 2):
        return Dries(why="no_shape_fits")
    most = float(points.days[0]) + AHEAD * points.span
    earliest, at, latest = (day if day <= most else None for day in crossing_days(fitted, figure))
    return Dries(earliest, at, latest)


@frozen
class _Fit:
    """Trials of shape × τ × level: M₀ by least squares, and χ²."""

    tau: Floats
    settled: Floats
    start: Floats
    chi2: Floats


def _fit(points: Points, settled: Floats) -> _Fit:
    """M = M∞ + (M₀ - M∞) shape(t/τ), fitted by M₀ in each trial; arrays (shape, τ, level)."""
    tau = TAU_DAYS * TAU_RATIO ** (np.arange(TAU_STEPS + 1) / TAU_STEPS)
    x = points.days[None, :] / tau[:, None]
    shape = np.stack([left(kind, x) for kind in SHAPES])[:, :, None, :]
    over = (points.values[None, :] - settled[:, None])[None, None, :, :]
    weight = points.u**-2.0
    height = (weight * shape * over).sum(-1) / (weight * shape * shape).sum(-1)
    missed = over - height[..., None] * shape
    return _Fit(tau, settled, settled + height, (weight * missed * missed).sum(-1))


def left(shape: Shape, x: Floats) -> Floats:
    """The share of the wetness that is left at x = t/τ; 1 at 0.

    Diffusion out of a sheet with one open face, τ = 4 l²/(π² D): Crank 1975, 4.18, from memory;
    for a short time 1 - (4/π) √(x/π).
    """
    if shape == "exponential":
        return np.exp(-x)
    odd = 2 * np.arange(TERMS)[:, None] + 1
    long = np.maximum(x, SHORT_X).ravel()
    series = (8 / pi**2) * (np.exp(-(odd**2) * long[None, :]) / odd**2).sum(0).reshape(x.shape)
    return np.where(x < SHORT_X, 1 - (4 / pi) * np.sqrt(np.maximum(x, 0) / pi), series)


def levelling(points: Points, reference: float, bound: float) -> tuple[float, float]:
    """How much a free level lowers χ², and the level that fits best.

    Args:
        bound: the least χ² with the level bound to the reference.
    """
    highest = float(points.values.min() + 2 * points.u[points.values.argmin()])
    levels = np.linspace(reference, max(highest, reference), SETTLED_STEPS)
    least = _fit(points, levels).chi2.min(axis=(0, 1))
    best = int(least.argmin())
    return bound - float(least[best]), float(levels[best])


def crossing_days(fitted: _Fit, figure: float) -> tuple[float, ...]:
    """The days at `EDGES` of all trials; inf where too many of them never get there."""
    chance = np.asarray([weight for _, weight in NODES])
    weight = (np.exp(-(fitted.chi2 - fitted.chi2.min()) / 2) * chance).ravel()
    days = np.stack(
        [
            fitted.tau[:, None] * _x_at(shape, _share(fitted, n, figure))
            for n, shape in enumerate(SHAPES)
        ]
    ).ravel()
    order = np.argsort(days, kind="stable")
    days, weight = days[order], weight[order] / weight.sum()
    middle = np.cumsum(weight) - weight / 2
    return tuple(_at(edge, middle, days) for edge in EDGES)


def _at(edge: float, middle: Floats, days: Floats) -> float:
    last = int(np.searchsorted(middle, edge))
    if last >= len(days) or days[last] == inf:
        return inf
    return float(np.interp(edge, middle[: last + 1], days[: last + 1]))


def _share(fitted: _Fit, shape: int, figure: float) -> Floats:
    """What is left of the wetness at the figure; ≤ 0 where a trial settles over it."""
    over = fitted.start[shape] - fitted.settled
    share = (figure - fitted.settled) / np.where(over == 0, 1.0, over)
    return np.where(over <= 0, np.where(fitted.settled > figure, 0.0, 1.0), share)


def _x_at(shape: Shape, share: Floats) -> Floats:
    """The x at which a share is left: 0 for 1 and more, inf for 0 and less."""
    within = np.clip(share, 1e-12, 1)
    found = -np.log(within) if shape == "exponential" else _diffused(within)
    return np.where(share >= 1, 0.0, np.where(share <= 0, inf, found))


def _diffused(share: Floats) -> Floats:
    """As `_x_at`, by halving."""
    low, high = np.zeros_like(share), np.full_like(share, _X)
    for _ in range(40):
        middle = (low + high) / 2
        later = left("diffusion", middle) > share
        low, high = np.where(later, middle, low), np.where(later, high, middle)
    return (low + high) / 2


def chi2_99(freedom: int) -> float:
    """The 99 % point of χ², to 0.2 % from 2 degrees of freedom on (Wilson and Hilferty 1931)."""
    spread = 2 / (9 * freedom)
    return float(freedom * (1 - spread + 2.326348 * sqrt(spread)) ** 3)
