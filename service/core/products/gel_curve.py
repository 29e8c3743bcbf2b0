"""Gel curves: a cure sheet's gel time against temperature, as a drawing and as a table.

The curves reach as far beyond the sheet's own gel times as the law is trusted, and no farther.
"""

from __future__ import annotations

from collections.abc import Sequence

from ..amounts.quantities import ZERO_C
from ..frozen import frozen
from .cure_sheet import CureSheet
from .gel_law import EXTRAPOLATED_K, GelLaw, Span, gel_span

STEP_K = 0.5
"""Step between two points of a curve: smooth on any screen."""
ROW_K = 5.0
"""Step between two rows of a table, at multiples of 5 °C."""
MOST_CURVES = 5
"""More curves would be too close to tell apart."""


@frozen
class Curve:
    """Gel time against temperature at one percent (None where nothing is dosed): (K, span in s)."""

    percent: float | None
    points: tuple[tuple[float, Span], ...]


def curves(sheet: CureSheet, law: GelLaw) -> list[Curve]:
    """A curve for each percent of `percents`, over the temperatures at which the law is trusted."""
    return [_curve(law, percent, _temperatures(law)) for percent in percents(sheet, law)]


def table(sheet: CureSheet, law: GelLaw) -> list[Curve]:
    """As `curves`, at multiples of 5 °C only."""
    low, high = reach(law)
    first = -(-(low - ZERO_C) // ROW_K)
    heats = [ZERO_C + ROW_K * n for n in range(int(first), int((high - ZERO_C) // ROW_K) + 1)]
    return [_curve(law, percent, heats) for percent in percents(sheet, law)]


def reach(law: GelLaw) -> tuple[float, float]:
    """The least and the greatest temperature (K) at which the law is trusted."""
    low, high = law.temperatures
    return low - EXTRAPOLATED_K, high + EXTRAPOLATED_K


def percents(sheet: CureSheet, law: GelLaw) -> list[float | None]:
    """The sheet's limits and the percents of its gel times, lowest first; at most `MOST_CURVES`."""
    if law.percent is None:
        return [None]
    low, high = sheet.percent_limits
    given = {p.percent for p in sheet.gel_points if p.percent and low <= p.percent <= high}
    found: list[float | None] = [*sorted({low, high} | given)]
    if len(found) <= MOST_CURVES:
        return found
    return [found[round(n * (len(found) - 1) / (MOST_CURVES - 1))] for n in range(MOST_CURVES)]


def middle(law: GelLaw, drawn: Sequence[Curve]) -> Curve:
    """The curve nearest to the sheet's own gel times, around which the band is drawn."""
    return min(drawn, key=lambda curve: abs((curve.percent or 0) - (law.percent or 0)))


def _temperatures(law: GelLaw) -> list[float]:
    low, high = reach(law)
    steps = round((high - low) / STEP_K)
    return [low + (high - low) * n / steps for n in range(steps + 1)]


def _curve(law: GelLaw, percent: float | None, heats: Sequence[float]) -> Curve:
    belief = law.belief()
    return Curve(percent, tuple((T, gel_span(law, belief, T, percent)) for T in heats))
