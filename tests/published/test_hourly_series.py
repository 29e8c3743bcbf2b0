"""Hourly air temperatures of two cities in 2010, against quadrature and printed sums.

Source: NOAA hourly air, in the style of normals, by the `vega_datasets` wheel (°F; 2010-03-14 03:00
is missing). The integrals are compared with SciPy's adaptive quadrature of the definition; the 72 h
sums, each hourly value held for its hour, were computed apart from this code.
"""

from __future__ import annotations

import csv
import math
from datetime import UTC, datetime, time
from functools import lru_cache
from importlib.util import find_spec
from itertools import pairwise
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from cureyard_service.core.arrays import Floats
from cureyard_service.core.bays.pattern import BayPatterns, Pattern
from cureyard_service.core.bays.temperature import Trace, trace_of
from cureyard_service.core.cure import cure_clock
from cureyard_service.core.products.gel_law import R, rate
from scipy.integrate import quad

HOUR = 3600.0
T20 = 293.15
E = 50e3
PRINTED = R / 8.314
"""The printed sums rounded the gas constant: E of theirs is this much more of ours."""
PATTERN = Pattern(288.15, 281.15, time(7), time(18))
BAY = BayPatterns([(0.0, PATTERN)], ZoneInfo("UTC"))
CITIES = ("seattle-temps", "sf-temps")
MISSING = datetime(2010, 3, 14, 3, tzinfo=UTC)


def moment_of(stamp: str) -> float:
    """Epoch s of a stamp taken as it stands, as if of UTC."""
    return datetime.fromisoformat(stamp).replace(tzinfo=UTC).timestamp()


@lru_cache
def series(city: str) -> tuple[Floats, Floats]:
    """Moments (epoch s, the stamps taken as they stand) and kelvins; without importing pandas."""
    spec = find_spec("vega_datasets")
    assert spec is not None
    assert spec.origin is not None
    t, T = [], []
    with (Path(spec.origin).parent / "_data" / f"{city}.csv").open() as file:
        for row in csv.DictReader(file):
            t.append(moment_of(row["date"].replace("/", "-")))
            T.append((float(row["temp"]) + 459.67) * 5 / 9)
    return np.array(t), np.array(T)


def since(city: str, begin: str, hours: int) -> Floats:
    """Kelvins of so many hours from a day on."""
    t, T = series(city)
    first = int(np.searchsorted(t, moment_of(begin)))
    return T[first : first + hours]


def held(T: Floats) -> Trace:
    """Each hourly value held for its hour."""
    t = np.repeat(np.arange(len(T) + 1) * HOUR, 2)[1:-1]
    return Trace(t, np.repeat(T, 2), np.ones(len(t) - 1, bool))


def equivalent_hours(T: Floats, E: float, T_ref: float) -> float:
    """Our clock's equivalent hours of hourly values held for their hours."""
    lived = held(T)
    return cure_clock.run(lived, E, T_ref, None).age_at(lived.end) / HOUR


def stated(moment: float, t: Floats, T: Floats, gap_max: float) -> float:
    """The temperature at a moment by the rule in words, one moment at a time, K."""
    after = int(np.searchsorted(t, moment, side="right"))
    last, following = after - 1, min(after, len(t) - 1)
    if t[following] - t[last] <= gap_max:
        return float(np.interp(moment, t, T))
    met = t[last] + gap_max
    if moment >= met:
        return PATTERN.at(datetime.fromtimestamp(moment, UTC).time())
    goal = PATTERN.at(datetime.fromtimestamp(met, UTC).time())
    return float(T[last] + (moment - t[last]) / gap_max * (goal - T[last]))


def by_quadrature(t: Floats, T: Floats, floor: float | None, gap_max: float) -> float:
    """The definition's integral over the readings' span, s: quadrature between all corners."""
    corners = {*t, *(t + gap_max), *np.arange(t[0], t[-1], HOUR)}
    edges = sorted(x for x in corners if t[0] <= x <= t[-1])

    def speed(moment: float) -> float:
        here = stated(moment, t, T, gap_max)
        return 0.0 if floor is not None and here < floor else math.exp(E / R * (1 / T20 - 1 / here))

    total = 0.0
    for a, b in pairwise(edges):
        left, right = (stated(x, t, T, gap_max) for x in (a + 1e-3, b - 1e-3))
        inside = []
        if floor is not None and (left - floor) * (right - floor) < 0:
            inside = [a + (floor - left) / (right - left) * (b - a - 2e-3) + 1e-3]
        for ends in pairwise([a, *inside, b]):
            total += quad(speed, *ends, epsabs=0, epsrel=1e-8)[0]
    return total


def clocked(t: Floats, T: Floats, floor: float | None, gap_max: float) -> float:
    """Our clock's age over the readings' span, s."""
    lived = trace_of(t, T, BAY, t[0], t[-1], gap_max)
    return cure_clock.run(lived, E, T20, floor).age_at(float(t[-1]))


@pytest.mark.parametrize("city", CITIES)
def test_the_year_has_one_hour_less(city: str) -> None:
    """8759 hours: the missing one is a gap of two, not an error and not a doubled reading."""
    t, _ = series(city)
    gaps = np.flatnonzero(np.diff(t) != HOUR)
    assert len(t) == 8759
    assert [datetime.fromtimestamp(t[i] + HOUR, UTC) for i in gaps] == [MISSING]


@pytest.mark.parametrize("city", CITIES)
def test_a_whole_year_agrees_with_quadrature(city: str) -> None:
    """Readings joined by straight lines, the missing hour bridged: to 1e-6."""
    t, T = series(city)
    total = 0.0
    for (a, Ta), (b, Tb) in pairwise(zip(t, T, strict=True)):
        total += quad(
            lambda x, a=a, b=b, Ta=Ta, Tb=Tb: math.exp(
                E / R * (1 / T20 - 1 / (Ta + (x - a) / (b - a) * (Tb - Ta)))
            ),
            a, b, epsabs=0, epsrel=1e-9,
        )[0]  # fmt: skip
    assert clocked(t, T, None, 2 * HOUR) == pytest.approx(total, rel=1e-6)


@pytest.mark.parametrize("city", CITIES)
@pytest.mark.parametrize("floor", [None, 281.15, 283.15, 286.0])
def test_stalls_and_gaps_agree_with_quadrature(city: str, floor: float | None) -> None:
    """Two weeks in March with hours, half days and days left out, at several floors: to 1e-6."""
    t, T = series(city)
    first = int(np.searchsorted(t, MISSING.timestamp())) - 7 * 24
    keep = np.ones(14 * 24, bool)
    for start, length in ((5, 1), (20, 2), (40, 3), (60, 12), (100, 40), (200, 5), (250, 70)):
        keep[start : start + length] = False
    t, T = t[first : first + 14 * 24][keep], T[first : first + 14 * 24][keep]
    expected = by_quadrature(t, T, floor, 2 * HOUR)
    assert expected > 0
    assert clocked(t, T, floor, 2 * HOUR) == pytest.approx(expected, rel=1e-6)


SUMS = [
    ("seattle-temps", "2010-01-01", 4.816, 34.1108, 34.0156, 23.5311, 18.8264, 34.0785),
    ("seattle-temps", "2010-07-01", 17.150, 63.4097, 63.4830, 60.1305, 58.3293, 62.8478),
    ("sf-temps", "2010-01-01", 9.605, 43.5833, 43.5287, 34.0329, 29.3342, 43.4944),
]
"""City, day, mean °C, then equivalent hours: codes, E 33.5, 50, 60 kJ/mol, codes at the mean."""


@pytest.mark.parametrize(("city", "day", "mean", "codes", "e33", "e50", "e60", "at_mean"), SUMS)
def test_sums_of_72_hours(
    city: str, day: str, mean: float, codes: float, e33: float, e50: float, e60: float,
    at_mean: float,
) -> None:  # fmt: skip
    """A summer and two winters, by four laws, to the printed places."""
    T = since(city, day, 72)
    assert T.mean() - 273.15 == pytest.approx(mean, abs=5e-4)
    for kilojoules, expected in ((33.5, e33), (50, e50), (60, e60)):
        ours = equivalent_hours(T, kilojoules * 1e3 * PRINTED, T20)
        assert ours == pytest.approx(expected, rel=2e-6)
    from_273 = T - 0.15
    assert equivalent_hours(from_273, 4000 * R, 4000 / 13.65) == pytest.approx(codes, rel=2e-6)
    at = 72 * rate(float(from_273.mean()), 4000 * R, 4000 / 13.65)
    assert at == pytest.approx(at_mean, rel=2e-6)


@pytest.mark.parametrize("city", CITIES)
@pytest.mark.parametrize("kilojoules", [33.5, 50, 60])
def test_hours_age_more_than_their_mean(city: str, kilojoules: float) -> None:
    """The rate is convex: a scheduler that takes daily means errs late, every day of the year."""
    _, T = series(city)
    for first in range(0, len(T) - 24, 24):
        day = T[first : first + 24]
        at_mean = 24 * rate(float(day.mean()), kilojoules * 1e3, T20)
        assert equivalent_hours(day, kilojoules * 1e3, T20) > at_mean


@pytest.mark.parametrize(("city", "hour"), [("seattle-temps", 74), ("sf-temps", 52)])
def test_the_hour_in_which_a_day_is_earned(city: str, hour: int) -> None:
    """From the new year on, 24 equivalent hours at 20 °C are up in hour 74, and in hour 52."""
    clock = cure_clock.run(held(since(city, "2010-01-01", 120)), E, T20, None)
    assert hour - 1 < clock.reach(24 * HOUR) / HOUR <= hour
