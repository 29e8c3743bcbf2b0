"""What gel points and cups say together: order is nothing, agreement never widens, a blunder moves
little, and what is believed is true of lots that are drawn at random.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import permutations
from math import exp, log, sqrt

import numpy as np
import pytest
from cureyard_service.core.arrays import Floats
from cureyard_service.core.products import budget
from cureyard_service.core.products.cure_sheet import GelPoint
from cureyard_service.core.products.evidence import Belief, Cup, Film, R, System, solve
from cureyard_service.core.products.mixture import nodes
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import norm, uniform

from ..makers import GRID, MIN, kelvin, planted

SHIFT, ENERGY, WEIGHT = nodes()
GEL = 25 * MIN
POINT = (GelPoint(kelvin(20), 1.0, GEL, GEL),)
DRAWS = 4000


def cup(
    minutes: float, celsius: float = 20, percent: float = 1.0, lot: int = 1, age: float = 0.0
) -> Cup:
    """A cup, at 1 % and 20 °C unless told otherwise."""
    return Cup(lot, kelvin(celsius), percent, minutes * MIN, age)


cups = st.builds(
    cup, st.floats(10, 60), st.sampled_from([12, 20, 20, 27]), st.sampled_from([1.0, 1.0, 2.0]),
    st.sampled_from([1, 1, 2]), st.sampled_from([0.0, 0.0, 90 * 86_400]),
)  # fmt: skip


def film(minutes: float, celsius: float = 20, percent: float = 1.0, lot: int = 1) -> Film:
    """A film of 30 min by the sheet at 20 °C, bracketed within a fifth and known to 2 K."""
    return Film(
        lot, kelvin(celsius), 2.0, minutes * MIN, log(1.2), 30 * MIN, kelvin(20), percent, 1.0
    )


films = st.builds(
    film, st.floats(21, 44), st.sampled_from([14, 20, 20]), st.sampled_from([1.0, 1.0, 1.4]),
    st.sampled_from([1, 2, 3]),
)  # fmt: skip


def told(system: System, lot: int = 1) -> tuple[float, ...]:
    """All that is believed of a lot."""
    found = system.belief((lot,))
    return (*found.E, *found.m, *found.n, found.var_m, found.cov, found.var_n)


@settings(max_examples=60)
@given(st.lists(cups, min_size=2, max_size=4), st.booleans())
def test_the_order_of_the_cups_and_of_the_points_is_nothing(some: list[Cup], fitted: bool) -> None:
    """However much they contradict each other."""
    points = planted(50e3, 1.0, GRID) if fitted else POINT
    first = told(solve(points, some))
    for other in permutations(some):
        assert told(solve(points, other)) == pytest.approx(first, rel=1e-5, abs=1e-7)
    assert told(solve(points[::-1], some)) == pytest.approx(first, rel=1e-5, abs=1e-7)


@settings(max_examples=60)
@given(st.lists(cups, max_size=3), cups, st.sampled_from([1, 2, 3]))
def test_a_cup_that_agrees_never_widens(some: list[Cup], another: Cup, lot: int) -> None:
    """One that gels as all the others expect it, of any lot: nobody is unsurer for it.

    Two that disagree count for nothing till a third, so the lot of a second cup is let alone.
    """
    before = solve(POINT, some)
    found = before.belief((another.lot,))
    x = (1 / another.temperature - 1 / before.temperature) / R
    (low, high), _ = found.dosed(log(another.percent or 1))
    expected = (low + high) / 2 + before.sheet + before.energy[0] * x
    after = solve(POINT, [*some, replace(another, time=exp(expected))])
    if not before.unsettled and not after.unsettled:
        # What the others are believed may settle to another balance; by less than a hundredth.
        assert after.belief((lot,)).spread <= before.belief((lot,)).spread * 1.01


@settings(max_examples=60)
@given(st.lists(cups, max_size=2), st.lists(films, min_size=1, max_size=3))
def test_the_order_of_films_is_nothing(some: list[Cup], seen: list[Film]) -> None:
    """Nor is it beside cups, however much they contradict each other."""
    first = told(solve(POINT, some, films=seen))
    for other in permutations(seen):
        found = told(solve(POINT, some[::-1], films=other))
        assert found == pytest.approx(first, rel=1e-5, abs=1e-7)


def test_films_beside_cups_by_least_squares() -> None:
    """By NumPy: a row for each, and for what is known before, each over its own noise.

    A film goes by its own time of 30 min at 20 °C, the cups by 25: the sheet's error is one.
    """
    some = (cup(26), cup(37, 14, lot=2))
    seen = (film(31), film(52, 12, lot=2), film(29, percent=1.1, lot=3))
    rows, y, noise = [], [], []

    def add(row: list[float], value: float, sd: float) -> None:
        rows.append(np.array(row) / sd)
        y.append(value / sd)
        noise.append(sd)

    def of(lot: int) -> list[float]:
        return [float(lot == each) for each in (1, 2, 3)]

    add([1, 0, 0, 0, 0, 0, 0, 0], log(GEL), 0.05)
    for place, (mean, sd) in enumerate(
        [(50e3, 10e3 / sqrt(3)), (1, 0.5 / sqrt(3)), (0, 0.0866), (0, 1 / sqrt(3))]
        + [(0, 0.08)] * 3
    ):
        row = [0.0] * 8
        row[place + 1] = 1.0
        add(row, mean, sd)
    for each in some:
        T = each.temperature
        x, slope = (1 / T - 1 / kelvin(20)) / R, -50e3 / (R * T**2)
        add([1, x, 0, 1, slope, *of(each.lot)], log(each.time), 0.054)
    for each, T, z in zip(seen, (20, 12, 20), (0, 0, log(1.1)), strict=True):
        x = (1 / kelvin(T) - 1 / kelvin(20)) / R
        sd = sqrt(0.054**2 + log(1.2) ** 2 / 12 + (50e3 / (R * kelvin(T) ** 2) * 2) ** 2 / 3)
        row = [1, x, -z, 1, 0, *of(each.lot)]
        add([float(v) for v in row], log(each.time / (30 * MIN)) + log(GEL), sd)
    scale = np.array([1, 1e4, *[1] * 6])
    A = np.array(rows) * scale
    theta = np.linalg.lstsq(A, np.array(y), rcond=None)[0] * scale
    cov = np.linalg.inv(A.T @ A) * np.outer(scale, scale)
    found = solve(POINT, some, films=seen)
    assert found.mean == pytest.approx(theta, rel=1e-6)
    assert found.cov == pytest.approx(cov, rel=1e-6, abs=1e-12)


def test_one_film_tells_less_than_a_cup_and_a_blunder_little() -> None:
    """Its bay and its looks are less sure; a film half as long again beside cups moves little."""
    by_cup, by_film = solve(POINT, (cup(30),)), solve(POINT, films=(film(36),))
    untested = solve(POINT).belief()
    assert untested.mean < by_film.belief((1,)).mean < by_cup.belief((1,)).mean
    assert by_cup.belief((1,)).spread < by_film.belief((1,)).spread < untested.spread
    assert 0 < by_film.belief((2,)).mean < by_film.belief((1,)).mean
    good = (cup(25), cup(25.5))
    moved = (
        solve(POINT, good, films=(film(45),)).belief((1,)).mean
        - solve(POINT, good).belief((1,)).mean
    )
    assert 0 < moved < log(1.5) / 10


@pytest.mark.parametrize("count", [1, 2, 3, 5])
def test_cups_that_agree_by_hand(count: int) -> None:
    """At the sheet's own point: precisions add (JCGM 100:2008), the thermometer is never shared.

    The sheet's 0.05 is fully known beside k cups' mean, which pair, lot and one thermometer shift.
    """
    system = solve(POINT, (cup(25),) * count)
    prior = np.diag([0.05**2, 0.0866**2, 0.08**2, 1 / 3])
    slope = -50e3 / (R * kelvin(20) ** 2)
    row = np.array([1.0, 1.0, 1.0, slope])
    noise = 0.054**2 / count
    gain = prior @ row / (row @ prior @ row + noise)
    left = prior - np.outer(gain, row @ prior)
    h = np.array([1.0, 1.0, 1.0, 0.0])
    expected = sqrt(h @ left @ h + 0.054**2)
    assert system.belief((1,)).spread == pytest.approx(expected, rel=1e-6)
    assert system.belief((1,)).mean == pytest.approx(0, abs=1e-9)


def test_an_untested_lot_adds_its_share_and_a_mix_of_lots_its_part() -> None:
    """Beside what a cup of another lot taught of the pair."""
    system = solve(POINT, (cup(30),))
    own, other, half = (system.belief(lots) for lots in ((1,), (2,), (1, 2)))
    assert 0 < other.mean < own.mean
    assert half.mean == pytest.approx((own.mean + other.mean) / 2)
    assert other.spread > own.spread
    assert system.belief().m == pytest.approx(other.m)


def test_one_blunder_of_three_moves_little() -> None:
    """Half as long again: by a third of what plain least squares would take from it."""
    good = (cup(25), cup(25.5), cup(24.5))
    slip = (*good[:2], cup(24.5 * 1.5))
    moved = solve(POINT, slip).belief((1,)).mean - solve(POINT, good).belief((1,)).mean
    assert 0 < moved < log(1.5) / 3 / 3
    assert solve(POINT, slip).belief((1,)).spread < budget.UNTESTED


def test_two_that_disagree_are_as_none_till_a_third() -> None:
    """Over 15 % apart, brought to one temperature and percent first."""
    apart, near = (solve(POINT, (cup(25), cup(25 * f))) for f in (1.16, 1.14))
    assert (apart.unsettled, near.unsettled) == ({1}, frozenset())
    assert apart.belief((1,)).spread == pytest.approx(budget.UNTESTED)
    assert solve(POINT, (cup(25), cup(29), cup(28))).unsettled == frozenset()
    colder = 25 * exp(50e3 / R * (1 / kelvin(12) - 1 / kelvin(20)))
    assert solve(POINT, (cup(25), cup(colder, 12), cup(12.5, 20, 2.0, 2))).unsettled == frozenset()
    assert solve(POINT, (cup(25, lot=1), cup(35, lot=2))).unsettled == frozenset()


@given(st.floats(0, 400), st.floats(1, 200))
def test_an_older_cup_tells_less(days: float, older: float) -> None:
    """Nothing lapses overnight."""
    ages = (days * 86_400, (days + older) * 86_400)
    young, old = (solve(POINT, (cup(30, age=age),)).belief((1,)) for age in ages)
    assert young.spread < old.spread < budget.UNTESTED
    assert young.mean > old.mean > 0


@settings(max_examples=40)
@given(st.floats(0.5, 2.5))
def test_a_dose_adds_what_is_not_known_of_the_order(percent: float) -> None:
    """By hand: n of 1 ± 0.5, rectangular; nothing is tied to it by one gel point."""
    (low, high), u = solve(POINT).belief().dosed(log(percent))
    assert (low + high) / 2 == pytest.approx(-log(percent), abs=1e-9)
    assert u**2 == pytest.approx(0.13898**2 + log(percent) ** 2 / 12, abs=1e-5)


def test_one_more_part_adds_in_quadrature() -> None:
    """JCGM 100:2008, 5.1.2."""
    plain = solve(POINT).belief()
    assert plain.wider(0.125).spread == pytest.approx(sqrt(plain.spread**2 + 0.125**2))


def chance(belief: Belief, ages: float, celsius: float, later: bool) -> float:
    """The chance of ln(time / sheet's) at 20 °C ± 1 by the model's own formula."""
    slower = np.array(belief.E)[ENERGY] / R * (1 / (kelvin(celsius) + SHIFT) - 1 / kelvin(20))
    M = np.array(belief.m)[ENERGY]
    mean = slower + (0.75 * M if later else M)
    own = 0.12**2 + (0.144 * M) ** 2 if later else 0.0
    return float(WEIGHT @ norm.cdf((ages - mean) / np.sqrt(belief.var_m + own)))


@pytest.mark.parametrize("celsius", [20.0, 12.0])
def test_three_cups_of_which_one_in_twenty_is_a_blunder(celsius: float) -> None:
    """Drawn: 3 to 7 % of the gels, and of a later stage, beyond each edge; at 99 %, 0.2 to 1.6.

    A blunder gels half as long again, or in two thirds of it. The cups share one thermometer.
    """
    rng = np.random.default_rng(3)

    def normal(sd: float, *more: int) -> Floats:
        return np.asarray(norm.rvs(scale=sd, size=(DRAWS, *more), random_state=rng))

    def evenly(low: float, high: float) -> Floats:
        return np.asarray(uniform.rvs(low, high - low, size=DRAWS, random_state=rng))

    lot = normal(0.05) + normal(0.0866) + normal(0.08)
    E, cups_off, bay_off = evenly(40e3, 60e3), evenly(-1, 1), evenly(-1, 1)
    slips = rng.choice([0.0, -0.4, 0.4], size=(DRAWS, 3), p=[0.95, 0.025, 0.025])
    colder = E / R * (1 / (kelvin(20) + cups_off) - 1 / kelvin(20))
    tested = GEL * np.exp((lot + colder)[:, None] + normal(0.054, 3) + slips)
    S, slower = lot + normal(0.054), E / R * (1 / (kelvin(celsius) + bay_off) - 1 / kelvin(20))
    stage, follows = normal(0.12), evenly(0.5, 1.0)
    found = np.empty((DRAWS, 2))
    for k in range(DRAWS):
        belief = solve(POINT, [cup(t / MIN) for t in tested[k]]).belief((1,))
        later = S[k] - belief.mean + follows[k] * belief.mean + stage[k]
        found[k] = (
            chance(belief, S[k] + slower[k], celsius, later=False),
            chance(belief, later + slower[k], celsius, later=True),
        )
    for p, low, high in ((0.05, 3, 7), (0.01, 0.2, 1.6)):
        for beyond in (found < p, found > 1 - p):
            shares = 100 * beyond.mean(axis=0)
            assert ((low <= shares) & (shares <= high)).all()


def test_films_that_hands_bracketed_on_their_rounds() -> None:
    """Drawn: four layups of a lot, looked at every fifth of the time gone; 3 to 7 % beyond an edge.

    Each lies in a bay of its own error, rectangular ± 2 K; hands come at no special time.
    """
    rng, draws = np.random.default_rng(5), DRAWS // 2

    def normal(sd: float, *more: int) -> Floats:
        return np.asarray(norm.rvs(scale=sd, size=(draws, *more), random_state=rng))

    lot = normal(0.05) + normal(0.0866) + normal(0.08)
    slope = 50e3 / (R * kelvin(20) ** 2)
    colder = slope * uniform.rvs(-2, 4, size=(draws, 4), random_state=rng)
    gelled = lot[:, None] + normal(0.054, 4) + colder
    first = uniform.rvs(0, log(1.2), size=(draws, 4), random_state=rng)
    steps = np.floor((gelled - first) / log(1.2))
    middle = np.exp(first + (steps + 0.5) * log(1.2))
    S, found = lot + normal(0.054), np.empty(draws)
    for k in range(draws):
        seen = [film(30 * float(each)) for each in middle[k]]
        belief = solve(POINT, films=seen).belief((1,))
        found[k] = norm.cdf((S[k] - belief.mean) / belief.spread)
    for beyond in (found < 0.05, found > 0.95):
        assert 3 <= 100 * beyond.mean() <= 7
