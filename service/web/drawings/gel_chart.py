"""A gel curve as a drawing: the place of each line and mark, in the units of its viewBox.

The axis of time is logarithmic: so the lines of each catalyst percentage run side by side, and a
band of some percent is as wide at a gel of 8 minutes as at one of 80.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from ...acts.products.gel_curves import GelCurves
from ...core.amounts.quantities import GEL_TIME, TEMPERATURE, System, convert
from ...core.frozen import frozen
from ...core.products.cure_sheet import GelPoint
from ...core.products.gel_curve import Curve

WIDTH, HEIGHT = 480.0, 340.0
LEFT, RIGHT, TOP, BOTTOM = 62.0, 424.0, 12.0, 288.0
"""Edges of the plot in its viewBox; the names of the lines are to the right of it."""
LABEL = 17.0
"""Height of a line of words."""
HEADROOM = 1.08
"""Factor of room above and below the times that are drawn."""
TICKS = ((1, 2, 5), (1, 1.5, 2, 3, 5, 7))
"""Marks of the time axis in each power of ten: few; or more, if those are not `ENOUGH`."""
ENOUGH = 4


@frozen
class Mark:
    """One gel time of the cure sheet: its place, and its range if it has one."""

    x: float
    y: float
    top: float
    bottom: float
    words: str


@frozen
class Chart:
    """Lines as SVG paths, each with a name beside its end; a band; marks; two axes."""

    band: str
    lines: list[str]
    names: list[tuple[float, str]]
    marks: list[Mark]
    across: list[tuple[float, str]]
    up: list[tuple[float, str]]
    temperature_unit: str


@frozen
class _Plot:
    """Turns K and s into places in the viewBox."""

    low: float
    high: float
    shortest: float
    longest: float

    def x(self, temperature: float) -> float:
        return LEFT + (RIGHT - LEFT) * (temperature - self.low) / (self.high - self.low)

    def y(self, time: float) -> float:
        share = math.log(time / self.shortest) / math.log(self.longest / self.shortest)
        return BOTTOM - (BOTTOM - TOP) * share


def chart(told: GelCurves, system: System) -> Chart:
    """Draw the gel curves of one cure sheet."""
    plot = _plot(told)
    ends = [(plot.y(curve.points[-1][1].time), _named(curve.percent)) for curve in told.curves]
    unit = TEMPERATURE.unit(system)
    return Chart(
        band=_band(plot, told.banded),
        lines=[_path(plot, [(T, span.time) for T, span in each.points]) for each in told.curves],
        names=_apart(ends),
        marks=[_mark(plot, point) for point in told.points],
        across=_degrees(plot, unit),
        up=_minutes(plot),
        temperature_unit="°C" if unit == "degC" else "°F",
    )


def _plot(told: GelCurves) -> _Plot:
    times = [span.time for curve in told.curves for _, span in curve.points]
    times += [time for _, span in told.banded.points for time in (span.earliest, span.latest)]
    times += [time for point in told.points for time in (point.shortest, point.longest)]
    low, high = told.reach
    return _Plot(low, high, min(times) / HEADROOM, max(times) * HEADROOM)


def _path(plot: _Plot, points: Sequence[tuple[float, float]]) -> str:
    """Through points of temperature in K and time in s."""
    return "M" + "L".join(f"{plot.x(T):.1f} {plot.y(time):.1f}" for T, time in points)


def _band(plot: _Plot, curve: Curve) -> str:
    latest = _path(plot, [(T, span.latest) for T, span in curve.points])
    earliest = _path(plot, [(T, span.earliest) for T, span in reversed(curve.points)])
    return f"{latest}{earliest.replace('M', 'L', 1)}Z"


def _mark(plot: _Plot, point: GelPoint) -> Mark:
    middle = math.sqrt(point.shortest * point.longest)
    return Mark(
        plot.x(point.temperature), plot.y(middle), plot.y(point.longest), plot.y(point.shortest),
        _named(point.percent),
    )  # fmt: skip


def _named(percent: float | None) -> str:
    return "" if percent is None else f"{percent:.3g} %"


def _apart(names: Iterable[tuple[float, str]]) -> list[tuple[float, str]]:
    """Names at least one line of words apart, from the top down."""
    found: list[tuple[float, str]] = []
    for y, words in sorted(names):
        lowest = found[-1][0] + LABEL if found else y
        found.append((max(y, lowest), words))
    return found


def _degrees(plot: _Plot, unit: str) -> list[tuple[float, str]]:
    """Marks at whole fives or tens of the yard's degrees."""
    low, high = (float(convert(T, TEMPERATURE, unit)) for T in (plot.low, plot.high))
    step = 5 if high - low <= 30 else 10
    first = math.ceil(low / step - 1e-9)
    last = math.floor(high / step + 1e-9)
    per_degree = (plot.high - plot.low) / (high - low)
    return [
        (plot.x(plot.low + (n * step - low) * per_degree), f"{n * step}")
        for n in range(first, last + 1)
    ]


def _minutes(plot: _Plot) -> list[tuple[float, str]]:
    low, high = (float(convert(t, GEL_TIME, "min")) for t in (plot.shortest, plot.longest))
    powers = range(math.floor(math.log10(low)), math.ceil(math.log10(high)) + 1)
    for steps in TICKS:
        found = [step * 10.0**n for n in powers for step in steps if low <= step * 10.0**n <= high]
        if len(found) >= ENOUGH:
            break
    return [(plot.y(minutes * 60), f"{minutes:g}") for minutes in found]
