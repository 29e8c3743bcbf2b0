"""The gel law: what a fit recovers, what it assumes, what it flags and what it refuses."""

from __future__ import annotations

import math
from itertools import permutations

import pytest
from cureyard_service.core.errors import CureSheetInconsistent
from cureyard_service.core.products import gel_law
from cureyard_service.core.products.cure_sheet import GelPoint
from hypothesis import given, settings
from hypothesis import strategies as st

from ..bands import UNTESTED_U, at, widths
from ..makers import GRID, MIN, kelvin, planted

energies = st.floats(15e3, 115e3)
orders = st.floats(0.1, 3.0)
celsius = st.floats(5, 40)
percents = st.floats(0.8, 3)


def point(T: float, percent: float | None, minutes: float, longest: float = 0) -> GelPoint:
    """A gel point as a sheet prints it: °C, percent, minutes."""
    return GelPoint(kelvin(T), percent, minutes * MIN, (longest or minutes) * MIN)


@given(energies, orders, celsius, percents)
def test_many_points_recover_the_law_that_they_lie_on(
    E: float, n: float, T: float, c: float
) -> None:
    """Few points are drawn towards 50 kJ/mol and 1, where most such resins lie; many are not."""
    few, many = gel_law.fit(planted(E, n, GRID)), gel_law.fit(planted(E, n, GRID) * 20)
    for seen, usual, planted_at in (
        ((few.E, many.E), 50e3, E), ((few.n, many.n), 1.0, n),
    ):  # fmt: skip
        missed = [abs(each - planted_at) for each in seen]
        assert missed[0] <= 0.2 * abs(planted_at - usual) + 0.01 * abs(usual)
        assert missed[1] <= 0.02 * abs(planted_at - usual) + 0.001 * abs(usual)
    assert (few.fitted, few.assumed) == (("E", "n"), ())
    (expected,) = planted(E, n, ((T, c),))
    assert many.gel_time(kelvin(T), c) == pytest.approx(expected.shortest, rel=0.05)


@given(celsius, percents, st.floats(0.5, 2), energies, orders)
def test_the_percent_for_a_time_gels_in_that_time(
    T: float, c: float, factor: float, E: float, n: float
) -> None:
    """Solving for c and for t are each other backwards, the lot factor included."""
    law = gel_law.fit(planted(E, n, GRID))
    time = law.gel_time(kelvin(T), c, factor)
    assert law.percent_for(time, kelvin(T), factor) == pytest.approx(c, rel=1e-9)


def test_the_order_of_the_points_is_nothing() -> None:
    """Every order of four scattered points gives one law."""
    points = (point(15, 1, 60), point(15, 2, 35), point(25, 1, 28, 36), point(30, 1.5, 15))
    laws = [gel_law.fit(order) for order in permutations(points)]
    for law in laws:
        assert (law.E, law.n, law.time, law.scatter) == pytest.approx(
            (laws[0].E, laws[0].n, laws[0].time, laws[0].scatter), rel=1e-9
        )


@given(st.floats(0.1, 10))
def test_a_sheet_twice_as_slow_is_the_same_law_twice_as_slow(share: float) -> None:
    """Scaling every time moves the anchor alone: E, n and scatter are about ratios."""
    points = (point(15, 1, 60), point(15, 2, 35), point(25, 1, 28, 36), point(30, 1.5, 15))
    slower = tuple(
        GelPoint(p.temperature, p.percent, p.shortest * share, p.longest * share) for p in points
    )
    one, other = gel_law.fit(points), gel_law.fit(slower)
    assert (other.E, other.n) == pytest.approx((one.E, one.n), rel=1e-6)
    assert other.scatter == pytest.approx(one.scatter, rel=1e-6)
    assert other.time == pytest.approx(one.time * share, rel=1e-9)


@settings(max_examples=50)
@given(st.lists(st.tuples(celsius, percents, st.floats(0.9, 1.1)), min_size=3, max_size=8))
def test_no_other_law_fits_the_points_better(seen: list[tuple[float, float, float]]) -> None:
    """Least squares: nudging E, n or the anchor never lessens the sum of squares."""
    points = tuple(
        GelPoint(p.temperature, p.percent, p.shortest * noise, p.shortest * noise)
        for (T, c, noise) in seen
        for p in planted(50e3, 1, ((T, c),))
    )
    try:
        law = gel_law.fit(points)
    except CureSheetInconsistent:
        return

    def squares(dE: float, dn: float, dt: float) -> float:
        return math.fsum(
            (
                math.log(p.shortest)
                - math.log(law.time)
                - dt
                - (law.E + dE) / gel_law.R * (1 / p.temperature - 1 / law.temperature)
                + (law.n + dn) * math.log((p.percent or 1) / (law.percent or 1))
            )
            ** 2
            for p in points
        )

    def objective(dE: float, dn: float, dt: float) -> float:
        """Points are 0.05 unsure; E and n are ranges of 10 kJ/mol and 0.5 about the usual."""
        E_off, n_off = (law.E + dE - 50e3) / 10e3, (law.n + dn - 1) / 0.5
        return squares(dE, dn, dt) / 0.05**2 + 3 * E_off**2 + 3 * n_off**2

    assert squares(0, 0, 0) / len(points) == pytest.approx(law.scatter**2, abs=1e-12)
    best = objective(0, 0, 0)
    for dE, dn, dt in ((0.0, 0.0, 1e-3), (100.0, 0.0, 0.0), (0.0, 1e-2, 0.0)):
        assert objective(dE, dn, dt) >= best - 1e-9
        assert objective(-dE, -dn, -dt) >= best - 1e-9


def test_one_point_assumes_both_and_goes_through_it() -> None:
    """50 kJ/mol, n inverse; the sheet's own figure is not moved."""
    law = gel_law.fit((point(20, 1.5, 30),))
    assert (law.fitted, law.assumed) == ((), ("E", "n"))
    assert law.n == 1
    assert pytest.approx(50e3) == law.E
    assert law.gel_time(kelvin(20), 1.5) == pytest.approx(30 * MIN)
    assert law.gel_time(kelvin(20), 3.0) == pytest.approx(15 * MIN)
    assert law.system.energy[1] == pytest.approx(10e3 / math.sqrt(3))
    assert law.system.order[1] == pytest.approx(0.5 / math.sqrt(3))


@pytest.mark.parametrize(
    ("warmer", "more", "fitted"),
    [(10.0, 1.5, ("E", "n")), (6.0, 1.5, ("n",)), (10.0, 1.2, ("E",)), (6.0, 1.2, ())],
)
def test_narrow_spans_tell_nothing(warmer: float, more: float, fitted: tuple[str, ...]) -> None:
    """Told is what two times, 0.05 unsure each, tell better than the range that is usual.

    By hand: 10 K tell E to 5.05 kJ/mol and 6 K to 8.3, of a usual 5.77; a ratio of 1.5 tells n to
    0.17 and one of 1.2 to 0.39, of a usual 0.29.
    """
    law = gel_law.fit(planted(50e3, 1.0, ((15, 1), (15 + warmer, 1), (15, more))))
    assert law.fitted == fitted
    assert set(law.assumed) == {"E", "n"} - set(fitted)


def test_points_that_change_both_at_once_tell_what_they_can() -> None:
    """Two points can't tell E from n: what they differ by is shared out, and both are met."""
    law = gel_law.fit((point(15, 1, 60), point(30, 2, 12)))
    assert (law.fitted, law.assumed) == (("n",), ("E",))
    for seen in ((15, 1, 60), (30, 2, 12)):
        assert law.gel_time(kelvin(seen[0]), seen[1]) == pytest.approx(seen[2] * MIN, rel=0.01)


def test_a_two_part_law_has_no_catalyst_in_it() -> None:
    """Nothing is dosed: n is neither fitted nor assumed, and no percent can be asked for."""
    law = gel_law.fit((point(15, None, 80), point(30, None, 28)))
    assert (law.fitted, law.assumed, law.percent, law.percents) == (("E",), (), None, None)
    with pytest.raises(ValueError, match="nothing is dosed"):
        law.percent_for(60, kelvin(20))


def test_a_range_is_its_middle_and_its_width_is_unsure() -> None:
    """20 to 45 min is 30 min by ratio, and counts half its width over √3 (JCGM 100:2008, 4.3.7)."""
    law = gel_law.fit((point(20, 1.5, 20, 45),))
    assert law.time == pytest.approx(30 * MIN)
    assert law.scatter == pytest.approx(math.log(1.5))
    span = gel_law.gel_span(law, law.belief(), kelvin(20), 1.5)
    u = math.sqrt(UNTESTED_U**2 + math.log(1.5) ** 2 / 3)
    expected = [at(p, 30 * MIN, 0, u) for p in (0.05, 0.5, 0.95)]
    assert [span.earliest, span.time, span.latest] == pytest.approx(expected, rel=1e-6)


@given(st.floats(0, 1.2), st.floats(0.1, 1), st.sampled_from((-1, 1)), st.floats(0.9, 0.99))
def test_the_band_widens_away_from_the_points(
    near: float, farther: float, side: int, sure: float
) -> None:
    """In temperature and in catalyst, and with the chance that is asked for."""
    law = gel_law.fit(planted(50e3, 1.0, GRID))
    for scale, T, c in ((15, 1, 0), (0, 0, 1)):
        widths_of = []
        for away in (near, near + farther):
            at_T = law.temperature + side * scale * T * away
            at_c = (law.percent or 1) * math.exp(side * c * away)
            span = gel_law.gel_span(law, law.belief(), at_T, at_c, sure=sure)
            widths_of.append(widths(span.earliest, span.latest))
            surer = gel_law.gel_span(law, law.belief(), at_T, at_c, sure=sure + 0.005)
            assert surer.earliest < span.earliest < span.time < span.latest < surer.latest
        assert widths_of[0] < widths_of[1] + 1e-6


def test_beyond_the_points_it_is_said_so() -> None:
    """5 K or × 1.25 outside."""
    law = gel_law.fit(planted(50e3, 1.0, GRID))
    for T, c, outside in (
        (10.1, 1.5, False), (9.9, 1.5, True), (34.9, 1.5, False), (35.1, 1.5, True),
        (20, 0.81, False), (20, 0.79, True), (20, 2.49, False), (20, 2.51, True),
    ):  # fmt: skip
        assert law.extrapolated(kelvin(T), c) is outside
    assert not law.extrapolated(kelvin(20), None)


@pytest.mark.parametrize(
    ("E", "n", "flags"),
    [
        (50e3, 1, 0), (27e3, 1, 0), (26e3, 1, 1), (96e3, 1, 0), (98e3, 1, 1),
        (50e3, 0.27, 0), (50e3, 0.24, 1), (50e3, 2.15, 1), (100e3, 3, 2),
    ],
)  # fmt: skip
def test_unusual_laws_are_flagged(E: float, n: float, flags: int) -> None:
    """E outside 30 to 90 kJ/mol and n outside 0.3 to 2, as these five points are believed.

    They tell E to 2.4 kJ/mol of a usual 5.77, so 0.853 of what is planted is believed; of n 0.94.
    """
    assert len(gel_law.fit(planted(E, n, GRID)).flags) == flags


@pytest.mark.parametrize(
    "points",
    [
        planted(121e3, 1.0, GRID),
        planted(-5e3, 1.0, GRID),
        planted(50e3, -0.2, GRID),
        (point(20, 1.5, 20), point(25, 1.5, 25)),
        (point(20, 1.0, 20), point(20, 1.2, 25)),
        (point(20, None, 20), point(25, None, 25, 40)),
    ],
    ids=["too-steep", "backwards", "more-slower", "two-warm", "two-more", "two-part"],
)
def test_laws_against_chemistry_are_refused(points: tuple[GelPoint, ...]) -> None:
    """A typing slip is refused, over a narrow span too where nothing is fitted."""
    with pytest.raises(CureSheetInconsistent) as caught:
        gel_law.fit(points)
    assert caught.value.advice
    assert caught.value.pointer == "/cure/gel_times"


def test_overlapping_ranges_are_no_contradiction() -> None:
    """15-20 min at 20 °C and 18-25 at 22 °C may both be true."""
    assert gel_law.fit((point(20, 1.5, 15, 20), point(22, 1.5, 18, 25))).assumed == ("E", "n")


def test_a_nearly_flat_law_asks_for_vast_percents_without_breaking() -> None:
    """An order near zero would want more catalyst than there are numbers; a limit then binds."""
    law = gel_law.fit(planted(50e3, 0.001, GRID))
    assert 1e300 < law.percent_for(1e-30, kelvin(20)) < math.inf


def test_no_points_make_no_law() -> None:
    """A product without gel points has only its temperature dependence, and no gel time."""
    with pytest.raises(ValueError, match="point"):
        gel_law.fit(())
    law = gel_law.undosed(kelvin(23))
    assert math.isnan(law.gel_time(kelvin(23), None))
    assert law.assumed == ("E",)
