"""The shop's hours: days off, midnight, both changes of the clock, and the night."""

from __future__ import annotations

from datetime import date, datetime, time
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from cureyard_service.core.plan.shop_hours import ShopHours, fits, nights
from hypothesis import given
from hypothesis import strategies as st

from ..makers import HOUR

ZONE = ZoneInfo("Europe/Lisbon")
WEEKDAYS = frozenset(range(5))
ALL = frozenset(range(7))


def at(*when: int) -> float:
    """A moment on the yard's clock, epoch s."""
    year, month, day, hour, minute = (*when, 0, 0)[:5]
    return datetime(year, month, day, hour, minute, tzinfo=ZONE).timestamp()


def shown(hours: ShopHours, start: float, end: float) -> list[tuple[str, float]]:
    """Each stretch: when it begins, and how many hours long it is."""
    return [
        (datetime.fromtimestamp(a, ZONE).strftime("%a %d %H:%M"), (b - a) / HOUR)
        for a, b in hours.spans(start, end)
    ]


def test_weekends_and_closed_days_are_off() -> None:
    """Monday to Friday, but for a feast on Wednesday."""
    hours = ShopHours(WEEKDAYS, time(8), time(17), ZONE, frozenset({date(2026, 3, 25)}))
    seen = shown(hours, at(2026, 3, 20), at(2026, 3, 28))
    assert [day[:6] for day, _ in seen] == ["Fri 20", "Mon 23", "Tue 24", "Thu 26", "Fri 27"]
    assert {length for _, length in seen} == {9.0}


def test_a_night_shift_belongs_to_its_evening() -> None:
    """Friday's runs into Saturday; there is none on Saturday night."""
    hours = ShopHours(WEEKDAYS, time(22), time(6), ZONE)
    seen = shown(hours, at(2026, 3, 27), at(2026, 3, 30))
    assert seen[-1] == ("Fri 27 22:00", 8.0)


@pytest.mark.parametrize(("evening", "length"), [((2026, 3, 28), 7.0), ((2026, 10, 24), 9.0)])
def test_the_change_of_the_clock_is_felt(evening: tuple[int, ...], length: float) -> None:
    """A shift of eight hours is seven into summer time, nine out of it (EU, Lisbon)."""
    hours = ShopHours(ALL, time(22), time(6), ZONE)
    start = at(*evening, 12)
    assert shown(hours, start, start + 86400)[0][1] == length


def test_days_round_the_clock_are_one_stretch() -> None:
    """No midnight divides them."""
    hours = ShopHours(ALL, time(0), time(0), ZONE)
    spans = hours.spans(at(2026, 3, 23), at(2026, 3, 27))
    assert len(spans) == 1
    assert fits(spans, np.array([at(2026, 3, 24, 23)]), 3 * HOUR).all()


@given(st.floats(0, 6 * 86400), st.floats(0, 12 * HOUR))
def test_work_fits_where_each_of_its_minutes_is_in_hours(after: float, length: float) -> None:
    """One stretch holds it whole, or it doesn't fit."""
    hours = ShopHours(WEEKDAYS, time(7), time(16), ZONE)
    start = at(2026, 3, 23)
    begin = start + after
    spans = hours.spans(start, start + 8 * 86400)
    whole = any(a <= begin and begin + length <= b for a, b in spans)
    assert fits(spans, np.array([begin]), length)[0] == whole


def test_no_hours_hold_no_work() -> None:
    """A shop that never works."""
    spans = ShopHours(frozenset(), time(8), time(17), ZONE).spans(0, 86400)
    assert not fits(spans, np.array([40000.0]), 1.0).any()


def test_the_night_is_seven_hours_with_midnight_to_five_in_it() -> None:
    """ILO Convention 171 (1990), Article 1 (from memory); six on the night to summer time."""
    start = at(2026, 3, 27, 12)
    dark = nights(start, start + 4 * 86400, ZONE)
    begins = np.array([at(2026, 3, 27, 12), at(2026, 3, 28, 0), at(2026, 3, 28, 20)])
    assert list(dark.worked(begins, 12 * HOUR) / HOUR) == [2.0, 5.0, 6.0]
