"""The band of a cure time, against its own formulas worked by SciPy and NumPy.

Sources:
- JCGM 100:2008, Guide to the expression of uncertainty in measurement, 4.3.7 (a range of half-width
  a counts a/√3) and 5.1.2 (unknowns add in quadrature).
- JCGM 101:2008, Propagation of distributions using a Monte Carlo method: what is not linear goes
  through as a distribution, tried here by drawing.
- ISO 5725-6:1994, 4.1.4 (r = 2.8 s), from memory.

The table of answers was worked out apart from this code, to four digits.
"""

from __future__ import annotations

from dataclasses import replace
from math import log, sqrt
from typing import Any

import numpy as np
import pytest
from cureyard_service.core.arrays import Floats
from cureyard_service.core.bays.temperature import Trace
from cureyard_service.core.cure.chance import Chances, Reach
from cureyard_service.core.cure.clocks import Doubt
from cureyard_service.core.cure.layer import LaidPot, Layer
from cureyard_service.core.cure.layers import SPREADS, Layers
from cureyard_service.core.cure.windows import Sides
from cureyard_service.core.pots.pot import WORKING_SHARE
from cureyard_service.core.products import budget, mixture
from cureyard_service.core.products.cure_sheet import CureSheet, GelPoint, Mix, StageTime
from cureyard_service.core.products.evidence import Cup, R, solve
from cureyard_service.core.products.gel_law import fit, gel_span
from scipy import integrate, special, stats

ZERO = 273.15
HOUR, MIN = 3600.0, 60.0
EDGES = (0.05, 0.5, 0.95)
POINT = (GelPoint(20 + ZERO, 1.0, 25 * MIN, 25 * MIN),)
SHEET = CureSheet(
    Mix("catalysed"),
    "plain",
    ("peroxide",),
    reference_temperature=20 + ZERO,
    reference_percent=1.0,
    gel_points=POINT,
)


def with_stages(**hours: float) -> CureSheet:
    """The sheet with some stages, in hours."""
    return replace(SHEET, stages=tuple((n, StageTime(h * HOUR)) for n, h in hours.items()))


def bay(*steps: tuple[float, float], until: float = 400.0) -> Trace:
    """A bay at °C from some hours on."""
    t: list[float] = []
    T: list[float] = []
    for (hour, heat), (end, _) in zip(steps, [*steps[1:], (until, 0.0)], strict=True):
        t += [hour * HOUR, end * HOUR]
        T += [heat + ZERO, heat + ZERO]
    return Trace(np.array(t), np.array(T), np.ones(len(t) - 1, bool))


def days(start: float, first: float, night: float, morning: float, evening: float) -> Trace:
    """A bay from an hour on: warm from one hour of the day to another, else as by night."""
    edges = [(24.0 * d + h, T) for d in range(14) for h, T in ((morning, first), (evening, night))]
    return bay((start, first), *((hour, T) for hour, T in edges if hour > start))


def chances(
    sheet: CureSheet,
    air: Trace,
    kelvins: float,
    count: int = 1,
    percent: float = 1.0,
    seen: dict[str, float] | None = None,
    **looks: Any,
) -> Chances:
    """The chances of a layer of equal pots, begun and ended at the start of a trace."""
    law = fit(sheet.gel_points)
    pot = LaidPot(percent, law.belief(), air.start, **(seen or {}))
    laid = Layer(sheet, law, (pot,) * count, air.start, "plain", **looks)
    return Chances(Layers.of([laid]), air, Doubt.steady(kelvins))


def edges(reach: Reach, since: float = 0.0, *, last: bool = True) -> list[float]:
    """Its moments of 5, 50 and 95 %, in hours since some hour; infinite where never."""
    found = reach.moment(np.array(EDGES))
    moments = found.max(axis=1) if last else found.min(axis=1)
    return [float(at) / HOUR - since for at in moments]


def opens(hours: float, air: Trace, kelvins: float, **pots: Any) -> Reach:
    """The opening of a window after so many hours."""
    sheet = with_stages(recoat_opens=hours)
    return chances(sheet, air, kelvins, **pots).stage("recoat_opens", StageTime(hours * HOUR))


def closes(hours: float, air: Trace, kelvins: float, **pots: Any) -> Reach:
    """The closing of a window after so many hours."""
    sheet = with_stages(recoat_closes=hours)
    return chances(sheet, air, kelvins, **pots).closing(StageTime(hours * HOUR))


def four(*expected: float) -> Any:
    """To four digits."""
    return pytest.approx(expected, rel=5e-4)


@pytest.mark.parametrize(
    ("celsius", "kelvins", "percent", "expected"),
    [
        (20, 1, 1, (19.70, 25.00, 31.73)),
        (12, 1, 1, (34.21, 44.42, 57.90)),
        (20, 1, 2, (8.327, 12.50, 18.77)),
    ],
)
def test_a_gel(celsius: float, kelvins: float, percent: float, expected: tuple[float, ...]) -> None:
    """25 min at 20 °C and 1 %."""
    law = fit(POINT)
    span = gel_span(law, law.belief(), celsius + ZERO, percent, uncertainty=kelvins)
    told = [span.earliest / MIN, span.time / MIN, span.latest / MIN]
    assert told == pytest.approx(expected, rel=5e-4)


def test_a_gel_that_is_surer() -> None:
    """At 1 and at 99 %."""
    law = fit(POINT)
    span = gel_span(law, law.belief(), 20 + ZERO, 1.0, uncertainty=1.0, sure=0.99)
    assert [span.earliest / MIN, span.latest / MIN] == four(17.86, 35.01)


@pytest.mark.parametrize(
    ("reach", "expected"),
    [
        (opens(3, bay((0, 20)), 1), (2.202, 3.000, 4.088)),
        (closes(24, bay((0, 20)), 1), (17.62, 24.00, 32.70)),
        (opens(2.5, bay((0, 20)), 3), (1.741, 2.501, 3.596)),
        (closes(9, bay((0, 20)), 3), (6.269, 9.005, 12.94)),
        (opens(3, bay((0, 20)), 1, percent=2.0), (1.103, 1.784, 2.885)),
        (opens(3, bay((0, 20)), 1, count=3), (2.305, 3.140, 4.279)),
    ],
)
def test_a_stage_in_a_steady_bay(reach: Reach, expected: tuple[float, ...]) -> None:
    """Opening and closing of a window; a dose off the sheet's; three pots."""
    assert edges(reach) == pytest.approx(expected, rel=5e-4)


def test_the_first_of_three_pots_shuts_the_window() -> None:
    """Three equal pots: earlier than one alone."""
    assert edges(closes(9, bay((0, 20)), 1, count=3), last=False) == four(6.311, 8.599, 11.72)


def test_a_night_between() -> None:
    """3 to 24 h from 17:38, 22 °C by day (07 to 19) and 18 °C by night, ± 1 K."""
    start = 17 + 38 / 60
    air = days(start, 22, 18, 7, 19)
    assert edges(opens(3, air, 1), start) == four(2.093, 3.012, 4.265)
    assert edges(closes(24, air, 1), start) == four(18.26, 23.81, 33.33)


@pytest.mark.parametrize(
    ("hours", "expected"), [(8, (9.504, 19.28, 23.04)), (24, (24.45, 45.95, 69.13))]
)
def test_nights_under_the_floor(hours: float, expected: tuple[float, ...]) -> None:
    """Sandable after so many hours, from 16:00, 20 °C by day and 9 °C by night, floor 10 °C."""
    sheet = replace(with_stages(sandable=hours), cure_min=10 + ZERO)
    reach = chances(sheet, days(16, 20, 9, 7, 19), 2).stage("sandable", StageTime(hours * HOUR))
    assert edges(reach, 16) == four(*expected)


def test_a_bay_that_may_be_under_the_floor() -> None:
    """9.5 ± 2 °C with a floor at 10: it may never open, and it shuts all the same."""
    sheet = replace(with_stages(recoat_opens=3, recoat_closes=9), cure_min=10 + ZERO)
    cold = chances(sheet, bay((0, 9.5)), 2)
    earliest, at, latest = edges(cold.stage("recoat_opens", StageTime(3 * HOUR)))
    assert earliest == pytest.approx(4.684, rel=5e-4)
    assert at == latest == float("inf")
    assert edges(cold.closing(StageTime(9 * HOUR))) == four(13.44, 19.25, 27.88)


def test_under_the_coldest_that_a_sheet_speaks_of() -> None:
    """At 7 ± 2 °C, 8 K under a sheet's least."""
    sheet = replace(with_stages(recoat_opens=3), apply_min=15 + ZERO)
    reach = chances(sheet, bay((0, 7)), 2).stage("recoat_opens", StageTime(3 * HOUR))
    assert edges(reach) == four(5.391, 10.12, 23.25)


def cup(minutes: float, celsius: float = 20, lot: int = 1) -> Cup:
    """A cup at 1 %."""
    return Cup(lot, celsius + ZERO, 1.0, minutes * MIN)


def believed(
    cups: tuple[Cup, ...] = (),
    points: tuple[GelPoint, ...] = POINT,
    celsius: float = 20,
    lot: int = 1,
) -> tuple[float, float]:
    """(minutes, standard uncertainty in ln) of the next pot's gel."""
    system = solve(points, cups)
    belief = system.belief((lot,))
    x = (1 / (celsius + ZERO) - 1 / system.temperature) / R
    low, high = (system.sheet + m + E * x for m, E in zip(belief.m, belief.E, strict=True))
    return float(np.exp((low + high) / 2)) / MIN, sqrt(belief.var_m + ((high - low) / 2) ** 2)


@pytest.mark.parametrize(
    ("cups", "minutes", "u"),
    [
        ((), 25, 0.1390),
        ((cup(25),), 25, 0.0805),
        ((cup(25),) * 2, 25, 0.0743),
        ((cup(25),) * 10, 25, 0.0681),
        ((cup(35),), 30.38, 0.0991),
        ((cup(35),) * 2, 33.18, 0.0743),
        ((cup(50, 12),), 26.96, 0.0938),
    ],
)
def test_cups(cups: tuple[Cup, ...], minutes: float, u: float) -> None:
    """One, two and ten that agree; one and two that do not; one in the cold."""
    assert believed(cups) == pytest.approx((minutes, u), rel=8e-4)


def test_a_cup_in_the_cold_tells_the_cold_best() -> None:
    """50 min at 12 °C: by it 12 °C is surer than 20, and the two energies part."""
    assert believed((cup(50, 12),), celsius=12) == pytest.approx((48.92, 0.0823), rel=8e-4)
    belief = solve(POINT, (cup(50, 12),)).belief((1,))
    assert pytest.approx((46.51e3, 57.02e3), rel=2e-4) == belief.E
    assert belief.m == pytest.approx((0.1224, 0.0286), abs=5e-5)
    assert sqrt(belief.var_m) == pytest.approx(0.0812, abs=5e-5)


def test_two_cups_apart_count_for_little_until_a_third() -> None:
    """The middle is kept (25.69 and 23.30), and the lot is as unsure as an untested one."""
    for cups, minutes in (((cup(35), cup(25)), 25.69), ((cup(20), cup(35)), 23.30)):
        assert believed(cups) == pytest.approx((minutes, budget.UNTESTED), rel=8e-4)
        assert believed((*cups, cup(25)))[1] < 0.08


def test_two_gel_times_tell_the_energy() -> None:
    """40 min at 15 °C and 20 at 25 °C."""
    points = (
        GelPoint(15 + ZERO, 1.0, 40 * MIN, 40 * MIN), GelPoint(25 + ZERO, 1.0, 20 * MIN, 20 * MIN),
    )  # fmt: skip
    assert solve(points).energy == pytest.approx((49.72e3, 3802), rel=5e-4)
    assert believed((), points) == pytest.approx((28.12, 0.1344), rel=8e-4)
    assert believed((), points, celsius=10) == pytest.approx((57.79, 0.1451), rel=8e-4)


def test_a_film_gel_that_hands_bracketed() -> None:
    """30 min by the sheet, wet at 30 and gelled at 36: every later stage is later."""
    sheet = replace(with_stages(recoat_opens=3, recoat_closes=9), film_gel=30 * MIN)
    told = chances(sheet, bay((0, 20)), 3, seen={"wet_at": 30 * MIN, "gelled_at": 36 * MIN})
    assert told.weighed is not None
    assert told.weighed.chance == pytest.approx([0.3246], abs=5e-5)
    assert edges(told.stage("recoat_opens", StageTime(3 * HOUR))) == four(2.590, 3.251, 4.082)
    assert edges(told.closing(StageTime(9 * HOUR))) == pytest.approx(
        (7.771, 9.752, 12.25), rel=4e-4
    )


def test_who_finds_it_open_early_is_told_that_it_shuts_early() -> None:
    """Nothing transfers at 2.2 h of 3."""
    sheet = with_stages(recoat_opens=3, recoat_closes=9)
    told = chances(sheet, bay((0, 20)), 3, opened_at=2.2 * HOUR)
    assert told.weighed is not None
    assert told.weighed.chance == pytest.approx([0.0800], abs=5e-5)
    assert edges(told.closing(StageTime(9 * HOUR))) == four(5.179, 6.790, 8.866)


def test_green_says_green_now() -> None:
    """Tacky under solvent at 8.1 h of 9: sure for ten minutes more."""
    told = chances(with_stages(recoat_closes=9), bay((0, 20)), 3, green_at=8.1 * HOUR)
    assert edges(told.closing(StageTime(9 * HOUR)))[0] == pytest.approx(8.27, abs=0.005)


def test_the_working_time_of_a_tested_lot() -> None:
    """A cup of 25 min, a pot at 20 ± 1 °C, 3 min of mixing: at worst and likely."""
    law = fit(POINT, (cup(25),))
    span = gel_span(law, law.belief(1), 20 + ZERO, 1.0, uncertainty=1.0)
    assert WORKING_SHARE * span.earliest / MIN - 3 == pytest.approx(9.93, abs=0.005)
    assert WORKING_SHARE * span.time / MIN - 3 == pytest.approx(12.00, abs=0.005)


def sure_window(
    opening: float, closing: float, kelvins: float, sure: float = 0.95
) -> tuple[float, float]:
    """The sure window of a sheet at 20 °C, in hours."""
    sheet = with_stages(recoat_opens=opening, recoat_closes=closing)
    told = chances(sheet, bay((0, 20)), kelvins)
    begin = told.stage("recoat_opens", StageTime(opening * HOUR))
    end = told.closing(StageTime(closing * HOUR))
    sides = Sides(told.layers, begin, end, np.array([np.inf]))
    latest, earliest = begin.moment(np.array([sure]))[0], end.moment(np.array([1 - sure]))[0]
    found = sides.sure(latest, earliest, sure)
    return float(found[0][0]) / HOUR, float(found[1][0]) / HOUR


@pytest.mark.parametrize(
    ("opening", "closing", "kelvins", "hours"),
    [
        (3, 24, 1, 13.5), (2.5, 9, 1, 3.2), (1.5, 6, 1, 2.3),
        (3, 24, 3, 12.4), (2.5, 9, 3, 2.67), (1.5, 6, 3, 2.0),
    ],
)  # fmt: skip
def test_a_sure_window_is_long_enough_to_work_in(
    opening: float, closing: float, kelvins: float, hours: float
) -> None:
    """Of three sheets, at ± 1 and ± 3 K."""
    begin, end = sure_window(opening, closing, kelvins)
    assert end - begin == pytest.approx(hours, abs=0.06)


def test_no_sure_window_between_two_and_four_hours() -> None:
    """A window so short is found by touch alone."""
    begin, end = sure_window(2, 4, 1)
    assert begin > end


def test_a_window_at_99_percent_and_one_of_two_bonds() -> None:
    """4.646 to 15.50 h; and for two bonds, each at 97.5 %, 4.309 to 16.71."""
    assert sure_window(3, 24, 1, 0.99) == pytest.approx((4.646, 15.50), rel=5e-4)
    assert sure_window(3, 24, 0.5, 0.975) == pytest.approx((4.309, 16.71), rel=5e-4)


def test_the_normal_and_the_nodes_are_those_of_scipy_and_numpy() -> None:
    """The distribution function, its inverse, and the nodes of Gauss and Legendre."""
    z = np.linspace(-9, 9, 181)
    assert mixture.normal(z) == pytest.approx(stats.norm.cdf(z), abs=1e-8)
    for p in (0.001, 0.05, 0.5, 0.95, 0.999):
        assert mixture.deviation(p) == pytest.approx(stats.norm.ppf(p), abs=1e-12)
    nodes, weights = special.roots_legendre(5)
    assert pytest.approx(nodes) == mixture.OFFSETS
    assert mixture.WEIGHTS[::2] == pytest.approx(weights / 4)


@pytest.mark.parametrize("count", range(1, 11))
def test_the_greatest_of_equal_pots(count: int) -> None:
    """The expected greatest of so many normal deviates, integrated by SciPy."""

    def greatest(z: float) -> float:
        return float(z * count * stats.norm.cdf(z) ** (count - 1) * stats.norm.pdf(z))

    expected, _ = integrate.quad(greatest, -10, 10)
    assert SPREADS[count - 1] == pytest.approx(expected, abs=1e-4)


def test_the_system_is_least_squares() -> None:
    """NumPy's least squares over the same rows, with what was known before as rows of their own."""
    cups = (cup(25.5), cup(32, 15), cup(19.5, 25, lot=2))
    rows = [[1.0, 0, 0, 0, 0, 0, 0]]
    seen = [log(25 * MIN)]
    sd = [budget.SHEET]
    for each in cups:
        x = (1 / each.temperature - 1 / (20 + ZERO)) / R
        lots = [float(each.lot == 1), float(each.lot == 2)]
        rows.append([1.0, x, 0, 1, -budget.E / (R * each.temperature**2), *lots])
        seen.append(log(each.time))
        sd.append(budget.POT)
    before = [
        (1, budget.E, budget.E_U), (2, budget.N, budget.N_U), (3, 0.0, budget.PAIR),
        (4, 0.0, budget.THERMOMETER_U), (5, 0.0, budget.LOT), (6, 0.0, budget.LOT),
    ]  # fmt: skip
    for place, value, u in before:
        rows.append([float(place == k) for k in range(7)])
        seen.append(value)
        sd.append(u)
    weights = 1 / np.array(sd)
    scale = np.array([1, 1e4, 1, 1, 1, 1, 1])
    A: Floats = np.array(rows) * scale * weights[:, None]
    expected = np.linalg.lstsq(A, np.array(seen) * weights, rcond=None)[0] * scale
    assert solve(POINT, cups).mean == pytest.approx(expected, rel=1e-6, abs=1e-9)


def test_the_parts_add_in_quadrature() -> None:
    """Gel 0.1390 and a later stage 0.1836 (JCGM 100:2008, 5.1.2); cups 15 % apart are r = 2.8 s."""
    gel = sqrt(budget.SHEET**2 + budget.PAIR**2 + budget.LOT**2 + budget.POT**2)
    assert gel == pytest.approx(0.1390, abs=5e-5)
    assert sqrt(gel**2 + budget.LATER**2) == pytest.approx(0.1836, abs=5e-5)
    assert pytest.approx(0.15 / 2.8, abs=5e-4) == budget.POT


def test_a_range_of_a_stage() -> None:
    """Opens '2 to 4 h', at 20 ± 1 °C: the middle by ratio, and the range beside all else."""
    stage = StageTime.between(2 * HOUR, 4 * HOUR)
    sheet = replace(SHEET, stages=(("recoat_opens", stage),))
    reach = chances(sheet, bay((0, 20)), 1).stage("recoat_opens", stage)
    assert edges(reach) == four(1.801, 2.829, 4.444)
