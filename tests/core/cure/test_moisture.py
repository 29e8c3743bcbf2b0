"""The cure by moisture: depth by the root of time, by what the air gave, in the made answers."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from cureyard_service.core.bays import vapour
from cureyard_service.core.bays.temperature import Trace
from cureyard_service.core.bays.vapour import Humid, pressure
from cureyard_service.core.cure import moisture, moisture_forecast
from cureyard_service.core.cure.moisture import Course, MoistureLaw
from cureyard_service.core.cure.moisture_forecast import ByMoisture
from cureyard_service.core.errors import CureSheetInconsistent
from cureyard_service.core.products.cure_sheet import CuredDepth, CureSheet, Mix
from cureyard_service.core.words import shown
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

H, DAY, ZERO = 3600.0, 86_400.0, 273.15
POINT = CuredDepth(3_000, DAY, ZERO + 23, 50)
SHEET = CureSheet(Mix("one_part"), "plain", cured_depth=POINT, skin_time=H, cure_min=ZERO + 5)
LAW = moisture.law_of(SHEET)
EDGES = (0.05, 0.5, 0.95)


def steady(T: float, humidity: float, law: MoistureLaw = LAW, days: float = 400) -> Course:
    """The course in air that keeps its temperature (°C) and humidity."""
    t = np.array([0.0, days * DAY])
    T_, e = np.full(2, ZERO + T), np.full(2, pressure(ZERO + T, humidity))
    return moisture.course(law, t, T_, e)


@pytest.mark.parametrize(
    ("depth", "T", "humidity", "hours"),
    [
        (3, 23, 50, (15.91, 24.00, 36.21)),
        (3, 5, 80, (41.32, 71.57, 124.0)),
        (6, 10, 60, (148.5, 242.0, 394.5)),
    ],
)
def test_depths_in_steady_air(
    depth: float, T: float, humidity: float, hours: tuple[float, ...]
) -> None:
    """3 mm in 24 h at 23 °C and 50 %, elsewhere; made answers, worked out apart from this code."""
    course, demand = steady(T, humidity), LAW.demand(1000 * depth)
    assert [course.reaches(demand, p) / H for p in EDGES] == pytest.approx(hours, rel=5e-4)


def test_a_skin_in_steady_air() -> None:
    """60 min of the sheet's air at 32 °C and 80 %: 11.85, 18.50, 28.88 min; made answers."""
    found = [steady(32, 80).reaches(H, p) / 60 for p in EDGES]
    assert found == pytest.approx((11.85, 18.50, 28.88), rel=5e-4)


def test_a_base_between_tight_faces_takes_a_hundred_days() -> None:
    """60 mm wide, 30 mm from each edge: (30/3)² days in the sheet's air, by hand."""
    way = moisture_forecast.way(None, 60_000)
    assert (way.comes, way.depth) == ("edges", 30_000)
    assert steady(23, 50).reaches(LAW.demand(way.depth), 0.5) / DAY == pytest.approx(100)
    assert moisture_forecast.way(6_000, None).depth == 6_000


def test_a_second_point_gives_its_own_energy() -> None:
    """Two points made with E = 20 kJ/mol give it back, and no other node; by hand."""
    E, T, e = 20e3, ZERO + 5, pressure(ZERO + 5, 80)
    faster = e / LAW.vapour * np.exp(-E / 8.314462618 * (1 / T - 1 / POINT.temperature))
    second = CuredDepth(3_000 * float(np.sqrt(faster)), DAY, T, 80)
    law = moisture.law_of(replace(SHEET, second_depth=second))
    assert law.energies == pytest.approx((E, E))
    for wrong in (replace(second, temperature=ZERO + 22), replace(second, depth=9_000)):
        with pytest.raises(CureSheetInconsistent):
            moisture.law_of(replace(SHEET, second_depth=wrong))


def test_what_the_air_gave_is_the_integral() -> None:
    """Against SciPy's adaptive quadrature, of air that warms and dries in a day."""
    t = np.arange(0.0, DAY + 1, 600.0)
    T = ZERO + 15 + 8 * np.sin(2 * np.pi * t / DAY)
    e = 12 + 4 * np.cos(2 * np.pi * t / DAY)
    course = moisture.course(LAW, t, T, e)
    for E, reached in zip(LAW.energies, course.given, strict=True):

        def rate(s: float, E: float = E) -> float:
            warm = ZERO + 15 + 8 * np.sin(2 * np.pi * s / DAY)
            wet = (12 + 4 * np.cos(2 * np.pi * s / DAY)) / LAW.vapour
            return float(wet * np.exp(-E / 8.314462618 * (1 / warm - 1 / POINT.temperature)))

        assert reached[-1] == pytest.approx(quad(rate, 0, DAY, limit=200)[0], rel=1e-4)


@given(
    T=st.floats(1, 39), wet=st.floats(5, 94), more=st.floats(1, 5), depth=st.floats(500, 20_000),
    p=st.sampled_from(EDGES),
)  # fmt: skip
@settings(max_examples=60)
def test_more_humid_is_never_slower_and_deeper_never_sooner(
    T: float, wet: float, more: float, depth: float, p: float
) -> None:
    """Nor is a smaller chance later; and a moment later is never less deep."""
    dry, humid = steady(T, wet, days=20_000), steady(T, wet + more, days=20_000)
    demand = LAW.demand(depth)
    assert humid.reaches(demand, p) <= dry.reaches(demand, p) + 1
    assert dry.reaches(LAW.demand(depth * 1.01), p) >= dry.reaches(demand, p) - 1
    moments = [dry.reaches(demand, each) for each in EDGES]
    assert moments == sorted(moments)
    at = dry.reaches(demand, 0.95)
    assert dry.depth(at, 0.95) == pytest.approx(depth, rel=1e-3)
    assert dry.depth(2 * at, 0.95) >= dry.depth(at, 0.95) >= dry.depth(at / 2, 0.95)


def told(
    read: list[Humid], now: float, T: float = 23, sheet: CureSheet = SHEET, **ways: Any
) -> ByMoisture:
    """A layup of 3 mm laid at 0 in a bay of one temperature (°C), as of a moment."""
    end = now + 60 * DAY
    trace = Trace(np.array([0.0, end]), np.full(2, ZERO + T), np.array([True]))
    air = vapour.around(trace, read, 0.0, now)
    way = moisture_forecast.way(**({"thickness": 3_000, "tight_width": None} | ways))
    return moisture_forecast.forecast(sheet, moisture.law_of(sheet), way, air, trace, now, 0.95)


def hourly(since: float, until: float, T: float = 23, humidity: float = 50) -> list[Humid]:
    """A reading each hour."""
    e = pressure(ZERO + T, humidity)
    return [Humid(float(at), e) for at in np.arange(since, until + 1, H)]


def test_read_by_the_hour_it_is_the_sheet_s_day() -> None:
    """In the sheet's own air the middle is the sheet's own time, whenever it is asked."""
    for now in (0.0, 5 * H, 23 * H):
        found = told(hourly(-2 * H, now), now)
        assert (found.through.at or 0) / H == pytest.approx(24.0, rel=1e-3)
        assert (found.skin.at or 0) / 60 == pytest.approx(60, rel=1e-3)
        assert found.tool_by == pytest.approx(found.skin.earliest)
        assert found.unread_since is None
    assert told(hourly(-2 * H, 6 * H), 6 * H).likely == pytest.approx(1_500, rel=1e-3)


def test_a_gap_of_over_two_hours_counts_for_nothing() -> None:
    """'At least so deep': the 4 h that nobody read are left out, and tooling is by wet air."""
    gap = hourly(-H, 4 * H) + hourly(8 * H, 12 * H)
    found, whole = told(gap, 12 * H), told(hourly(-H, 12 * H), 12 * H)
    assert found.likely == pytest.approx(whole.likely * np.sqrt(8 / 12), rel=1e-3)
    assert (found.through.at or 0) == pytest.approx((whole.through.at or 0) + 4 * H, rel=1e-3)
    assert (found.through.earliest or 0) < (whole.through.earliest or 0)
    assert found.had_gaps
    assert found.unread_since is None
    since = told(hourly(-H, 4 * H), 12 * H)
    assert since.unread_since == 4 * H
    words = moisture_forecast.words(since, lambda at: f"{at / H:.0f} h")
    assert [shown(each, "metric") for each in words] == [
        "At least 0.9 mm deep; no humidity since 4 h: read the bay with its humidity."
    ]
    assert since.through.at is not None, "the last day's mean goes on from now"
    assert told(hourly(-H, 4 * H), 6 * H).unread_since is None


def test_without_humidity_nothing_is_promised_but_until_when_to_tool() -> None:
    """Nobody read it within the last day: at most the air is saturated."""
    found = told([], 0.0)
    assert (found.through.at, found.through.why) == (None, "no-humidity")
    assert (found.skin.at, found.skin.why) == (None, "no-humidity")
    assert found.tool_by == pytest.approx(steady(23, 100).reaches(H, 0.05), rel=1e-3)
    assert told(hourly(-30 * H, -26 * H), 0.0).through.why == "no-humidity"


def test_ahead_it_is_the_vapour_that_stays_and_never_the_humidity() -> None:
    """Read at 23 °C and 50 %, a night of 8 °C has 10.7 hPa at most: it is saturated then."""
    now = 4 * H
    t = np.array([0.0, now, now, 60 * DAY])
    T = ZERO + np.array([23.0, 23.0, 8.0, 8.0])
    trace = Trace(t, T, np.array([True, True, False]))
    air = vapour.around(trace, hourly(-2 * H, now), 0.0, now)
    assert air.mean == pytest.approx(pressure(ZERO + 23, 50))
    assert air.ends[-1] == pytest.approx(pressure(ZERO + 8, 100))
    warm = Trace(t, ZERO + np.array([23.0, 23.0, 30.0, 30.0]), trace.measured)
    ahead = vapour.around(warm, hourly(-2 * H, now), 0.0, now)
    assert ahead.ends[-1] == pytest.approx(pressure(ZERO + 23, 50)), "warmed air gains no water"


def test_below_its_coldest_nothing_is_promised() -> None:
    """At 4 °C of a sheet that says 5; the time there cures nothing, at least."""
    found = told(hourly(-2 * H, 0, T=4, humidity=80), 0.0, T=4)
    assert (found.through.why, found.skin.why) == ("below-coldest", "below-coldest")
    assert found.coldest == SHEET.cure_min
    warm = replace(SHEET, cure_min=ZERO + 3)
    assert told(hourly(-2 * H, 0, T=4, humidity=80), 0.0, T=4, sheet=warm).through.at is not None


def test_a_wide_joint_is_told_in_days() -> None:
    """60 mm between tight faces lies beyond what is looked ahead: about 100 days, beforehand."""
    found = told(hourly(-2 * H, 0), 0.0, thickness=None, tight_width=60_000)
    assert found.through.why == "not-in-sight"
    assert found.days == pytest.approx(100, rel=0.02)
    assert told(hourly(-2 * H, 0), 0.0, thickness=None).through.why == "no-depth"
