"""A gel law along temperature: by its own points, as a dose has it, no farther than trusted.

Laws by hand: two points that a doubling for each 10 °C and an order of 1 fit exactly.
"""

from __future__ import annotations

import pytest
from cureyard_service.core.amounts.quantities import ZERO_C
from cureyard_service.core.products import gel_curve, gel_law
from cureyard_service.core.products.cure_sheet import CureSheet, GelPoint, Mix
from cureyard_service.core.products.gel_law import gel_span
from hypothesis import given, settings
from hypothesis import strategies as st

C = ZERO_C
POINTS = (
    GelPoint(C + 15, 2, 1680, 1680), GelPoint(C + 25, 2, 840, 840), GelPoint(C + 25, 1, 1680, 1680),
)  # fmt: skip


def sheet(points: tuple[GelPoint, ...] = POINTS, low: float = 1, high: float = 3) -> CureSheet:
    """A resin's sheet with such gel times and percent limits."""
    return CureSheet(
        Mix("catalysed"), "air_inhibited", gel_points=points, percent_min=low, percent_max=high
    )


def test_the_curves_go_by_the_points_they_were_fitted_to() -> None:
    """At 15 °C and 2 % it is 28 min, at 25 °C 14 min, and with half the catalyst twice that."""
    law = gel_law.fit(POINTS)
    by_percent = {curve.percent: dict(curve.points) for curve in gel_curve.table(sheet(), law)}
    assert list(by_percent) == [1, 2, 3]
    assert by_percent[2][C + 15].time == pytest.approx(1680, rel=3e-3)
    assert by_percent[2][C + 25].time == pytest.approx(840, rel=3e-3)
    assert by_percent[1][C + 25].time == pytest.approx(1680, rel=3e-3)
    assert by_percent[3][C + 25].time == pytest.approx(560, rel=3e-3)


def test_rows_are_whole_fives_of_a_degree_within_what_is_trusted() -> None:
    """From five under the coldest gel time to five over the warmest."""
    law = gel_law.fit(POINTS)
    (first, *_) = gel_curve.table(sheet(), law)
    assert [round(T - C, 6) for T, _ in first.points] == [10, 15, 20, 25, 30]
    assert gel_curve.reach(law) == (C + 10, C + 30)


@settings(max_examples=10)
@given(percent=st.floats(1, 3), share=st.floats(0, 1))
def test_the_band_is_a_doses_and_lies_about_the_curve(percent: float, share: float) -> None:
    """What is drawn at a percent is what a dose of that percent is told, at any temperature."""
    law = gel_law.fit(POINTS)
    low, high = gel_curve.reach(law)
    T = low + share * (high - low)
    span = gel_span(law, law.belief(), T, percent)
    assert span.earliest < span.time < span.latest
    for curve in gel_curve.curves(sheet(), law):
        for heat, drawn in curve.points:
            assert not law.extrapolated(heat, None)
            assert drawn == gel_span(law, law.belief(), heat, curve.percent)
            assert drawn.earliest < drawn.time < drawn.latest


def test_a_mix_of_fixed_parts_has_one_curve() -> None:
    """Nothing is dosed, so no percent is named."""
    points = (GelPoint(C + 20, None, 2400, 2400),)
    fixed = CureSheet(Mix("two_part", (100, 25), "mass"), "amine_blush", gel_points=points)
    law = gel_law.fit(points)
    (only,) = gel_curve.curves(fixed, law)
    assert only.percent is None
    assert gel_curve.middle(law, [only]) is only


def test_at_most_five_curves_and_always_both_limits() -> None:
    """A sheet with gel times at many percents is still read."""
    percents = [round(1 + n / 10, 1) for n in range(11)]
    points = tuple(GelPoint(C + 20, p, 2400 / p, 2400 / p) for p in percents)
    found = gel_curve.percents(sheet(points), gel_law.fit(points))
    assert len(found) == gel_curve.MOST_CURVES
    assert (found[0], found[-1]) == (1, 3)
    assert found == sorted(found, key=float)


def test_the_band_is_drawn_about_the_percent_of_the_gel_times() -> None:
    """The law's anchor lies between 1 and 2 %: nearest is 2."""
    law = gel_law.fit(POINTS)
    drawn = gel_curve.curves(sheet(), law)
    assert law.percent == pytest.approx(2 ** (2 / 3))
    assert gel_curve.middle(law, drawn).percent == 2
