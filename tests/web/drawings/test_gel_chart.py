"""The drawing of a gel curve: through its marks, on axes that a person can read."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest
from cureyard_service.acts.products.gel_curves import GelCurves, curves_of
from cureyard_service.core.amounts.quantities import ZERO_C, System
from cureyard_service.core.products.cure_sheet import CureSheet, GelPoint, Mix
from cureyard_service.web.drawings import gel_chart
from hypothesis import given
from hypothesis import strategies as st

C = ZERO_C


def told(points: tuple[GelPoint, ...], low: float = 1, high: float = 3) -> GelCurves:
    """The curves of a sheet with such gel times."""
    return curves_of(
        CureSheet(Mix("catalysed"), "waxed", gel_points=points, percent_min=low, percent_max=high)
    )


EXACT = (
    GelPoint(C + 15, 2, 1680, 1680), GelPoint(C + 25, 2, 840, 840), GelPoint(C + 25, 1, 1680, 1680)
)  # fmt: skip


def stations(path: str) -> list[tuple[float, float]]:
    """The points that a path goes through."""
    return [(float(x), float(y)) for x, y in re.findall(r"([\d.]+) ([\d.]+)", path)]


def test_marks_lie_on_the_lines_that_were_fitted_to_them() -> None:
    """The points are exactly a doubling for ten degrees and an order of 1."""
    chart = gel_chart.chart(told(EXACT), "metric")
    by_name = {name: stations(path) for (_, name), path in zip(
        sorted(chart.names, key=lambda each: each[1]), chart.lines, strict=True)}  # fmt: skip
    for mark in chart.marks:
        nearest = min(by_name[mark.words], key=lambda at: abs(at[0] - mark.x))
        assert nearest == pytest.approx((mark.x, mark.y), abs=0.3)


@pytest.mark.parametrize(
    ("system", "degrees"),
    [("metric", ["10", "15", "20", "25", "30"]), ("us", ["50", "60", "70", "80"])],
)
def test_axes_are_marked_at_whole_figures(system: System, degrees: list[str]) -> None:
    """Of the yard's own degrees; minutes by their logarithm, so ratios are equally far."""
    chart = gel_chart.chart(told(EXACT), system)
    assert [words for _, words in chart.across] == degrees
    up = {float(words): y for y, words in chart.up}
    assert len(up) >= gel_chart.ENOUGH
    assert up[10] - up[20] == pytest.approx(up[15] - up[30])


@given(
    time=st.floats(60, 7200), low=st.floats(0.5, 2), more=st.floats(0.1, 3), T=st.floats(283, 303)
)
def test_all_is_inside_and_no_names_meet(time: float, low: float, more: float, T: float) -> None:
    """Whatever the sheet says."""
    points = (GelPoint(T, low, time * 0.9, time * 1.1),)
    chart = gel_chart.chart(told(points, low, low + more), "metric")
    for x, y in [at for path in (*chart.lines, chart.band) for at in stations(path)]:
        assert gel_chart.LEFT - 0.1 <= x <= gel_chart.RIGHT + 0.1
        assert gel_chart.TOP - 0.1 <= y <= gel_chart.BOTTOM + 0.1
    heights = [y for y, _ in chart.names]
    assert all(b - a >= gel_chart.LABEL for a, b in pairwise(heights))
    assert chart.up
