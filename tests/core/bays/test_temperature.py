"""The temperature that a layup lay in: readings, gaps, the bay's pattern, real nights."""

from __future__ import annotations

from datetime import datetime, time
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from cureyard_service.core.bays import temperature
from cureyard_service.core.bays.logged import LoggedPattern
from cureyard_service.core.bays.pattern import BayPatterns, Pattern
from cureyard_service.core.bays.temperature import Trace, temperature_at, trace_of
from hypothesis import assume, given
from hypothesis import strategies as st

from ..makers import HOUR, kelvin

UTC = ZoneInfo("UTC")
DAY, NIGHT = kelvin(20), kelvin(10)
SHOP = Pattern(DAY, NIGHT, time(7), time(18))
LATE = Pattern(DAY, NIGHT, time(18), time(2))


def bay(pattern: Pattern = SHOP, zone: str = "UTC") -> BayPatterns:
    """A bay with one pattern."""
    return BayPatterns([(0.0, pattern)], ZoneInfo(zone))


def lived(hours: list[float], celsius: list[float], start: float, end: float) -> Trace:
    """The trace of a bay from readings at hours after 1970-01-05 00:00 UTC, gap limit 2 h."""
    t = np.array(hours, float) * HOUR
    return trace_of(t, kelvin(0) + np.array(celsius, float), bay(), start * HOUR, end * HOUR, 7200)


def night_length(pattern: Pattern, zone: str, from_: datetime, until: datetime) -> float:
    """Hours at the pattern's night level between two local moments."""
    t, T = bay(pattern, zone).steps(
        from_.replace(tzinfo=ZoneInfo(zone)).timestamp(),
        until.replace(tzinfo=ZoneInfo(zone)).timestamp(),
    )
    return float(np.diff(t)[(T[:-1] == NIGHT) & (T[1:] == NIGHT)].sum()) / HOUR


def test_a_pattern_steps_at_its_hours() -> None:
    """From day_from on it is day, from day_until on night."""
    assert [SHOP.at(time(h, m)) for h, m in ((6, 59), (7, 0), (17, 59), (18, 0))] == [
        NIGHT, DAY, DAY, NIGHT,
    ]  # fmt: skip


def test_a_day_may_cross_midnight() -> None:
    """A late shift's day runs from 18:00 to 02:00; equal hours are day throughout."""
    assert [LATE.at(time(h)) for h in (17, 18, 23, 0, 1, 2, 12)] == [
        NIGHT, DAY, DAY, DAY, DAY, NIGHT, NIGHT,
    ]  # fmt: skip
    assert Pattern(DAY, NIGHT, time(8), time(8)).at(time(3)) == DAY
    both = datetime(2026, 3, 2, 12), datetime(2026, 3, 4, 12)
    assert night_length(LATE, "UTC", *both) == 32


@pytest.mark.parametrize(
    ("zone", "evening", "hours"),
    [
        ("America/Los_Angeles", datetime(2026, 3, 6, 12), 13),
        ("America/Los_Angeles", datetime(2026, 3, 7, 12), 12),
        ("America/Los_Angeles", datetime(2026, 10, 31, 12), 14),
        ("Europe/London", datetime(2026, 3, 28, 12), 12),
        ("Europe/London", datetime(2026, 10, 24, 12), 14),
        ("UTC", datetime(2026, 3, 28, 12), 13),
    ],
)
def test_nights_of_the_clock_change_are_real_nights(
    zone: str, evening: datetime, hours: float
) -> None:
    """18:00 to 07:00 is 13 h, but 12 h in spring and 14 h in autumn."""
    noon = evening.replace(day=evening.day + 1) if evening.day < 31 else datetime(2026, 11, 1, 12)
    assert night_length(SHOP, zone, evening, noon) == hours


@pytest.mark.parametrize(("month", "day", "hours"), [(3, 8, 23), (11, 1, 25), (7, 1, 24)])
def test_days_of_the_clock_change_have_23_and_25_hours(month: int, day: int, hours: int) -> None:
    """A pattern's day level and night level together fill the real day."""
    zone = ZoneInfo("America/Los_Angeles")
    start, end = (datetime(2026, month, d, tzinfo=zone).timestamp() for d in (day, day + 1))
    t, T = bay(zone="America/Los_Angeles").steps(start, end)
    assert (t[-1] - t[0]) / HOUR == hours
    assert np.diff(t)[(T[:-1] == DAY) & (T[1:] == DAY)].sum() == 11 * HOUR


@given(st.floats(0, 9 * 86_400), st.floats(60, 5 * 86_400), st.floats(0, 1))
def test_steps_and_moments_of_a_pattern_agree(start: float, length: float, share: float) -> None:
    """The knots say at every moment what the pattern says of it, a change of pattern included."""
    patterns = BayPatterns([(0.0, SHOP), (4.5 * 86_400, LATE)], UTC)
    t, T = patterns.steps(start, start + length)
    moment = start + share * length
    if np.abs(t - moment).min() > 1e-3:
        assert np.interp(moment, t, T) == patterns.at(moment)


def test_the_oldest_pattern_holds_before_its_day() -> None:
    """Nothing better is known of that time; later ones take over at their moment."""
    patterns = BayPatterns([(86_400.0, SHOP), (2 * 86_400.0, LATE)], UTC)
    assert patterns.at(12 * HOUR) == DAY
    assert patterns.at(2 * 86_400 - 12 * HOUR) == DAY
    assert patterns.at(2 * 86_400 + 12 * HOUR) == NIGHT
    assert BayPatterns([(0.0, LATE), (12 * HOUR, SHOP)], UTC).at(12 * HOUR) == DAY


def test_between_readings_it_is_straight_up_to_the_bay_s_gap() -> None:
    """Two hours are bridged and measured; a second more is not."""
    straight = lived([9, 11], [15, 19], 9, 11)
    assert straight.at(10 * HOUR) == pytest.approx(kelvin(17))
    assert straight.basis(straight.start, straight.end) == "measured"
    apart = lived([9, 11 + 1 / 3600], [15, 19], 9, 11)
    assert apart.basis(apart.start, apart.end) == "assumed"


def test_across_a_gap_it_goes_straight_to_the_pattern_and_along_it() -> None:
    """From 14 °C at 09:00 to the day's 20 °C by 11:00, then 20 °C until the reading at 15:00."""
    gap = lived([8, 9, 15, 16], [14, 14, 17, 17], 8, 16)
    for hour, celsius in ((8.5, 14), (10, 17), (11, 20), (14.9, 20), (15, 17), (15.5, 17)):
        assert gap.at(hour * HOUR) == pytest.approx(kelvin(celsius)), hour
    assert gap.basis(8 * HOUR, 9 * HOUR) == "measured"
    assert gap.basis(9 * HOUR, 15 * HOUR) == "assumed"
    assert gap.basis(8 * HOUR, 16 * HOUR) == "mixed"


def test_a_gap_that_ends_on_the_way_to_the_pattern_ends_there() -> None:
    """A gap shorter than the way takes only its share of it, in the future too."""
    tail = lived([9], [14], 9, 10)
    assert tail.at(10 * HOUR) == pytest.approx(kelvin(17))
    night = lived([17], [14], 17, 30)
    assert night.at(18 * HOUR) == pytest.approx(kelvin(12))
    assert night.at(19 * HOUR) == pytest.approx(NIGHT)
    assert night.at(30 * HOUR) == NIGHT


OWN = LoggedPattern((kelvin(9),) * 7 + (kelvin(20),) * 12 + (kelvin(9),) * 5, UTC)
"""By the bay's own log a heater runs from 07:00 to 19:00."""


@pytest.mark.parametrize(
    ("read", "celsius"),
    [
        (9, {6.9: 9, 7: 20, 8: 20, 9: 20, 19: 9}),
        (5, {6.5: 5, 6.99: 6, 7.5: 18, 8: 19, 8.5: 20, 10: 20}),
        (13, {7: 23, 7.5: 22, 8.5: 20}),
    ],
)
def test_along_the_bay_s_own_log_a_reading_s_difference_fades(
    read: float, celsius: dict[float, float]
) -> None:
    """Read half an hour before the heater goes on; in 2 h what it was off is gone."""
    known = np.array([6.5 * HOUR]), np.array([kelvin(read)])
    after = trace_of(*known, OWN, 6.5 * HOUR, 30 * HOUR, 7200)
    for hour, expected in celsius.items():
        assert after.at(hour * HOUR) == pytest.approx(kelvin(expected), abs=0.03), hour
    assert after.basis(after.start, after.end) == "assumed"


def test_without_readings_it_is_the_pattern_alone() -> None:
    """Nothing measured, nothing claimed."""
    pattern = lived([], [], 6, 20)
    assert [pattern.at(h * HOUR) for h in (6, 6.99, 7, 17.9, 18, 20)] == [
        NIGHT, NIGHT, DAY, DAY, NIGHT, NIGHT,
    ]  # fmt: skip
    assert pattern.basis(6 * HOUR, 20 * HOUR) == "assumed"


def test_a_reading_before_the_start_ties_the_start_down() -> None:
    """An hour before: half the way back to the pattern; three hours before: none of it left."""
    assert lived([8], [10], 9, 20).at(9 * HOUR) == pytest.approx(kelvin(15))
    assert lived([6], [0], 9, 20).at(9 * HOUR) == DAY
    assert lived([8, 9.5], [10, 13], 9, 9.5).at(9 * HOUR) == pytest.approx(kelvin(12))


def test_a_late_reading_changes_only_its_own_surroundings() -> None:
    """What comes in late re-draws the gap that it falls in, and nothing before or after."""
    before = lived([8, 9, 15, 16], [14, 14, 17, 17], 8, 16)
    after = lived([8, 9, 12, 15, 16], [14, 14, 8, 17, 17], 8, 16)
    for hour in (8, 8.5, 9, 10, 11, 15, 15.5):
        assert after.at(hour * HOUR) == before.at(hour * HOUR)
    assert after.at(12 * HOUR) == pytest.approx(kelvin(8))
    assert after.at(13 * HOUR) == pytest.approx(kelvin(14))
    assert before.at(13 * HOUR) == DAY


knots = st.lists(
    st.tuples(st.floats(0, 72).map(lambda h: round(h, 2)), st.floats(0, 40)),
    min_size=0, max_size=12, unique_by=lambda knot: knot[0],
).map(sorted)  # fmt: skip


@given(knots, st.floats(0, 30), st.floats(0.1, 40))
def test_any_trace_covers_its_span_and_passes_its_readings(
    readings: list[tuple[float, float]], start: float, length: float
) -> None:
    """From start to end, time never falling, one word on each segment, each reading on it."""
    hours, celsius = [h for h, _ in readings], [c for _, c in readings]
    found = lived(hours, celsius, start, start + length)
    assert (found.start, found.end) == (start * HOUR, (start + length) * HOUR)
    assert (np.diff(found.t) >= 0).all()
    assert len(found.measured) == len(found.t) - 1 == len(found.T) - 1
    for h, c in readings:
        if start < h < start + length:
            assert found.at(h * HOUR) == pytest.approx(kelvin(c), abs=1e-6)


@given(knots.filter(lambda k: len(k) > 2), st.floats(0, 1), st.floats(0, 1))
def test_a_cut_trace_is_the_same_trace(
    readings: list[tuple[float, float]], a: float, b: float
) -> None:
    """Cutting, and marking a level's crossings, changes the temperature nowhere."""
    assume(abs(a - b) > 1e-4)
    whole = lived([h for h, _ in readings], [c for _, c in readings], 0, 72)
    first, last = sorted((a * 72 * HOUR, b * 72 * HOUR))
    cut = temperature.crossed(whole.between(first, last), kelvin(15))
    for moment in np.linspace(first, last, 17)[:-1]:
        assert cut.at(float(moment)) == pytest.approx(whole.at(float(moment)), abs=1e-6)
    left, right = cut.T[:-1] - kelvin(15), cut.T[1:] - kelvin(15)
    straddles = (left * right < -1e-9) & (np.diff(cut.t) > 0)
    assert not straddles.any()


@given(
    st.lists(st.integers(0, 47), unique=True, max_size=8).map(sorted),
    st.lists(st.floats(0, 40), min_size=8, max_size=8),
    st.one_of(st.integers(0, 47), st.floats(0, 47)),
    st.sampled_from([HOUR, 2 * HOUR, 6 * HOUR]),
    st.sampled_from([bay(), OWN]),
)
def test_at_one_moment_it_is_as_in_the_trace(
    hours: list[int], celsius: list[float], at: float, gap_max: float, law: temperature.Pattern
) -> None:
    """On a reading, between two, after the last, along the pattern and at its step."""
    read = [hour * HOUR for hour in hours], [kelvin(each) for each in celsius[: len(hours)]]
    moment = at * HOUR
    around = trace_of(*read, law, moment - 1, moment + 1, gap_max)
    found = temperature_at(*read, law, moment, gap_max)
    assert found == pytest.approx(around.at(moment), abs=1e-6)
