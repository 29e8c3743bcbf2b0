"""A thousand sets of milestones along a year of readings, against passes of NumPy's exponential."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import numpy as np
from cureyard_service.core.bays.temperature import Trace
from cureyard_service.core.cure.clocks import Doubt
from cureyard_service.core.cure.forecast import forecasts
from cureyard_service.core.cure.layer import Layer
from cureyard_service.core.products.evidence import R
from cureyard_service.core.products.mixture import ENERGIES, SHIFTS

from ..core.makers import HOUR, laid_at, layer
from .harness import Row, Scale, compared, timed

MINUTES = 525_600
UNCERTAINTY = 1.0


def rows(scale: Scale, folder: Path) -> Iterator[Row]:
    """With their bands, each time from a log that nothing was worked out from yet."""
    t = np.arange(scale.n(MINUTES, MINUTES // 8)) * 60.0
    T = 291.15 + 4 * np.sin(t / 86_400 * 2 * np.pi) + 3 * np.sin(t / 7e5)
    sets = scale.n(1000, 125)
    one = layer(finished=HOUR)
    layers = [laid_at(one, at) for at in np.linspace(t[0], t[-1] - 30 * 86_400, sets).tolist()]
    clocks = _clocks(layers[0])
    passes = timed(lambda: [_pass(T + shift, E) for shift, E in clocks])
    placed = timed(lambda: _all(layers, Trace(t, T, np.ones(len(t) - 1, bool))))
    yield compared(
        f"{sets:,} milestone sets with bands, {len(t):,} readings",
        f"{len(clocks)} NumPy passes of the exponential (one for each clock)", 3.0, placed, passes,
        scale.n(8, 3), stands=8,
    )  # fmt: skip


def _clocks(one: Layer) -> list[tuple[float, float]]:
    """The traces (shift in K) and energies that a layer's milestones and their bands rest on."""
    energies = one.pots[0].belief.E
    nodes = zip(SHIFTS, ENERGIES, strict=True)
    return [(0.0, one.law.E), *((UNCERTAINTY * shift, energies[k]) for shift, k in nodes)]


def _pass(T: np.ndarray, E: float) -> np.ndarray:
    return np.exp(-E / R * (1 / T - 1 / 293.15))


def _all(layers: list[Layer], trace: Trace) -> None:
    forecasts(layers, trace, Doubt.steady(UNCERTAINTY))
