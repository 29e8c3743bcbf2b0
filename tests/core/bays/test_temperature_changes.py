"""A trace changed: moved to another bay, heated, uncertain, begun by a cold surface."""

from __future__ import annotations

import pytest
from cureyard_service.core.bays.temperature import crossed, crossed_at
from hypothesis import given
from hypothesis import strategies as st

from ..makers import HOUR, kelvin, steady, trace

SAW = trace([0, 4, 4, 8], [10, 20, 12, 12])


def test_at_a_sharp_step_the_later_value_holds() -> None:
    """And a cut that ends at the step ends on the earlier one."""
    assert SAW.at(4 * HOUR) == kelvin(12)
    before, after = SAW.between(0, 4 * HOUR), SAW.between(4 * HOUR, 8 * HOUR)
    assert before.T[-1] == kelvin(20)
    assert after.T[0] == kelvin(12)


def test_beyond_its_ends_a_trace_stays_as_it_was() -> None:
    """The first and the last temperature hold."""
    assert (SAW.at(-HOUR), SAW.at(9 * HOUR)) == (kelvin(10), kelvin(12))


def test_a_crossing_is_marked_at_its_very_moment() -> None:
    """10 to 20 °C over 4 h passes 15 °C after 2 h; the step through 15 °C needs no mark."""
    cut = crossed(SAW, kelvin(15))
    assert list(cut.t / HOUR) == [0, 2, 4, 4, 8]
    assert list(cut.T) == [kelvin(c) for c in (10, 15, 20, 12, 12)]
    assert crossed(SAW, kelvin(25)) is SAW
    assert crossed(SAW, kelvin(12)).t.tolist() == [0.0, 0.8 * HOUR, 4 * HOUR, 4 * HOUR, 8 * HOUR]


def test_a_mark_at_a_moment_keeps_what_was_measured() -> None:
    """A knot put in the middle of a measured stretch leaves two measured stretches."""
    joined = trace([0, 2], [10, 12]).then(trace([2, 4], [15, 15], measured=False))
    cut = crossed_at(crossed_at(joined, HOUR), 3 * HOUR)
    assert list(cut.t / HOUR) == [0, 1, 2, 2, 3, 4]
    assert (cut.basis(0, 2 * HOUR), cut.basis(2 * HOUR, 4 * HOUR)) == ("measured", "assumed")
    assert crossed_at(cut, HOUR) is cut


def test_a_move_to_another_bay_is_a_step() -> None:
    """Until the move one bay's air, from it on the other's."""
    moved = steady(10, 5).then(trace([5, 9], [22, 22], measured=False))
    assert moved.at(5 * HOUR - 1) == kelvin(10)
    assert moved.at(5 * HOUR) == kelvin(22)
    assert moved.basis(0, 9 * HOUR) == "mixed"
    assert moved.basis(0, 5 * HOUR) == "measured"


@given(st.floats(-5, 5))
def test_a_shifted_trace_differs_by_that_much_everywhere(shift: float) -> None:
    """The warm and the cold edge of a band."""
    for hour in (0, 1.7, 4, 6):
        difference = SAW.shifted(shift).at(hour * HOUR) - SAW.at(hour * HOUR)
        assert difference == pytest.approx(shift)


@given(st.floats(5, 25))
def test_heating_lifts_the_cold_stretches_alone(celsius: float) -> None:
    """Never under the floor, never over what it was where it was warm enough."""
    heated = SAW.at_least(kelvin(celsius))
    for hour in (0, 0.5, 1, 1.9, 2.1, 3, 3.99, 4, 5, 7.9):
        expected = max(SAW.at(hour * HOUR), kelvin(celsius))
        assert heated.at(hour * HOUR) == pytest.approx(expected)


@given(st.floats(5, 25), st.floats(-1, 9))
def test_heating_from_a_moment_on_leaves_what_is_past(celsius: float, since: float) -> None:
    """Before the heater was lit it was as cold as it was."""
    heated = SAW.at_least(kelvin(celsius), since * HOUR)
    assert (heated.start, heated.end) == (SAW.start, SAW.end)
    for hour in (0, 0.5, 1, 1.9, 2.1, 3, 3.99, 5, 7.9):
        least = kelvin(celsius) if hour >= since else 0.0
        assert heated.at(hour * HOUR) == pytest.approx(max(SAW.at(hour * HOUR), least))


def test_a_cold_surface_comes_to_the_air_in_a_straight_line() -> None:
    """8 °C under the air at first, 4 °C half way, none when it has settled."""
    settled = steady(20, 10).from_surface(kelvin(12), 2 * HOUR, since=0.0)
    for hour, celsius in ((0, 12), (0.5, 14), (1, 16), (2, 20), (5, 20)):
        assert settled.at(hour * HOUR) == pytest.approx(kelvin(celsius))


def test_a_short_look_sees_the_surface_as_cold_as_a_long_one() -> None:
    """A trace that ends before the surface has settled ends on the way."""
    short = steady(20, 1).from_surface(kelvin(12), 2 * HOUR, since=0.0)
    assert short.at(0) == kelvin(12)
    assert short.at(HOUR) == pytest.approx(kelvin(16))


def test_a_surface_was_as_cold_before_it_was_read() -> None:
    """Read at hour 1: 8 °C under the air until then, and from then on as ever."""
    read = steady(20, 10).from_surface(kelvin(12), 2 * HOUR, since=HOUR)
    for hour, celsius in ((0, 12), (1, 12), (2, 16), (3, 20)):
        assert read.at(hour * HOUR) == pytest.approx(kelvin(celsius))


def test_the_basis_of_no_time_at_all_claims_nothing() -> None:
    """A stretch without length was not measured."""
    assert SAW.basis(HOUR, HOUR) == "assumed"
    assert SAW.basis(0, 8 * HOUR) == "measured"
