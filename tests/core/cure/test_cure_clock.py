"""The cure clock: its integral against quadrature, and its inverse against itself."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from cureyard_service.core.bays.temperature import Trace
from cureyard_service.core.cure import cure_clock
from cureyard_service.core.cure.cure_clock import Clock
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from ..makers import HOUR, kelvin, steady, trace

E = 50e3
T_REF = kelvin(20)
R = 8.314462618

knots = st.lists(
    st.tuples(st.sampled_from([0.0, 0.25, 1.0, 3.0, 11.0]), st.floats(-5, 45)),
    min_size=2, max_size=9,
)  # fmt: skip
floors = st.none() | st.floats(-4, 40)


def traced(steps: list[tuple[float, float]]) -> Trace:
    """A trace from stretches in hours and the °C at their ends; none long is a sharp step."""
    hours = np.cumsum([hours for hours, _ in steps])
    assume(hours[-1] > hours[0])
    return trace(list(hours - hours[0]), [celsius for _, celsius in steps])


def run(lived: Trace, floor: float | None) -> Clock:
    """The clock at 50 kJ/mol and 20 °C, its floor in °C."""
    return cure_clock.run(lived, E, T_REF, None if floor is None else kelvin(floor))


def by_quadrature(lived: Trace, E: float, floor: float | None) -> float:
    """The definition, integrated by an adaptive library on each straight warm stretch."""
    total = 0.0
    for (a, Ta), (b, Tb) in pairwise(zip(lived.t, lived.T, strict=True)):
        if b <= a:
            continue

        def kelvins(t: float, a: float = a, b: float = b, Ta: float = Ta, Tb: float = Tb) -> float:
            return float(Ta + (t - a) / (b - a) * (Tb - Ta))

        crossing = [] if floor is None or Ta == Tb else [a + (floor - Ta) / (Tb - Ta) * (b - a)]
        inside = [moment for moment in crossing if a < moment < b]
        for p, q in pairwise([a, *inside, b]):
            if floor is None or kelvins((p + q) / 2) >= floor:
                total += quad(
                    lambda t, at=kelvins: math.exp(E / R * (1 / T_REF - 1 / at(t))),
                    p, q, epsabs=0, epsrel=1e-10,
                )[0]  # fmt: skip
    return total


@settings(max_examples=60)
@given(knots, floors, st.floats(30e3, 120e3))
def test_the_integral_agrees_with_quadrature(
    steps: list[tuple[float, float]], floor: float | None, E: float
) -> None:
    """To 1e-6 relative on random traces with steps and stalls."""
    lived = traced(steps)
    low = None if floor is None else kelvin(floor)
    clock = cure_clock.run(lived, E, T_REF, low)
    assert clock.age_at(lived.end) == pytest.approx(by_quadrature(lived, E, low), rel=1e-6)


@given(knots, floors, st.floats(0, 1), st.floats(0.001, 1))
def test_reaching_undoes_ageing(
    steps: list[tuple[float, float]], floor: float | None, share: float, part: float
) -> None:
    """The moment of an age has that age, and no earlier moment does."""
    clock = run(traced(steps), floor)
    target = clock.age[-1] * part
    assume(target > 1e-3)
    moment = clock.reach(target)
    assert clock.age_at(moment) == pytest.approx(target, rel=1e-9, abs=1e-6)
    earlier = clock.t[0] + share * (moment - clock.t[0])
    assert clock.age_at(earlier) <= target + 1e-6


@given(knots, floors, st.floats(0, 1), st.floats(0, 1))
def test_age_adds_up_and_never_falls(
    steps: list[tuple[float, float]], floor: float | None, a: float, b: float
) -> None:
    """A trace cut in two ages as much as the whole; a later moment is never younger."""
    lived = traced(steps)
    first, then = (lived.start + x * (lived.end - lived.start) for x in sorted((a, b)))
    clock = run(lived, floor)
    grown = clock.age_at(then) - clock.age_at(first)
    assert grown >= -1e-6
    if then > first:
        part = run(lived.between(first, then), floor)
        assert part.age_at(then) == pytest.approx(grown, rel=1e-6, abs=0.01)


@given(knots, floors, st.floats(0.01, 5))
def test_warmer_is_never_slower(
    steps: list[tuple[float, float]], floor: float | None, warmer: float
) -> None:
    """A trace that is warmer throughout ages more, or stalls as long."""
    lived = traced(steps)
    assert run(lived.shifted(warmer), floor).age[-1] >= run(lived, floor).age[-1] * (1 - 1e-9)


def test_at_its_own_temperature_the_clock_is_the_wall_clock() -> None:
    """An hour at the reference counts an hour; ten degrees more nearly two."""
    assert run(steady(20, 10), None).age_at(3 * HOUR) == pytest.approx(3 * HOUR, rel=1e-12)
    assert run(steady(30, 10), None).age_at(HOUR) == pytest.approx(
        math.exp(E / R * (1 / kelvin(20) - 1 / kelvin(30))) * HOUR
    )


def test_the_floor_is_crossed_at_its_very_moment() -> None:
    """From 20 °C to 0 °C in 4 h: under a floor of 10 °C from hour 2 on, not from a knot on."""
    clock = run(trace([0, 4, 8], [20, 0, 20]), 10)
    assert clock.cold_seconds(8 * HOUR) == pytest.approx(4 * HOUR)
    assert clock.cold_seconds(3 * HOUR) == pytest.approx(HOUR)
    assert clock.age_at(2 * HOUR) == clock.age_at(3 * HOUR) == clock.age_at(6 * HOUR)
    assert clock.age_at(6 * HOUR + 1) > clock.age_at(6 * HOUR)
    assert clock.age_at(8 * HOUR) == pytest.approx(2 * clock.age_at(2 * HOUR))


def test_at_the_floor_itself_it_runs() -> None:
    """Least curing temperature: at it, it cures; under it, it doesn't."""
    assert run(steady(10, 5), 10).age[-1] > 0
    assert run(steady(9.999, 5), 10).age[-1] == 0


def test_cold_since_counts_stretches_together() -> None:
    """Two cold hours, four warm, then cold again: three hours are up an hour into the second."""
    clock = run(trace([0, 2, 2, 6, 6, 20], [5, 5, 20, 20, 5, 5]), 10)
    assert clock.cold_since(3 * HOUR) == pytest.approx(7 * HOUR)
    assert clock.cold_since(0) == 0
    assert clock.cold_since(16 * HOUR) == math.inf
    assert run(steady(20, 5), 10).cold_since(0) == math.inf


def test_what_is_never_reached_is_said_so() -> None:
    """An age beyond the trace is infinite; none at all is its start."""
    clock = run(steady(20, 10), None)
    assert clock.reach(11 * HOUR) == math.inf
    assert clock.reach(0) == 0
    assert run(steady(5, 10), 10).reach(1) == math.inf


def test_a_stall_makes_the_moment_the_earliest() -> None:
    """An age reached just as it goes cold is reached then, not when it warms again."""
    clock = run(trace([0, 2, 2, 6, 6, 9], [20, 20, 5, 5, 20, 20]), 10)
    assert clock.reach(2 * HOUR) == pytest.approx(2 * HOUR)
    assert clock.reach(2 * HOUR + 60) == pytest.approx(6 * HOUR + 60)


def test_a_sharp_step_takes_no_time() -> None:
    """A step of 100 K adds nothing of itself."""
    stepped = run(trace([0, 5, 5, 10], [20, 20, 120, 120]), None)
    assert stepped.age_at(5 * HOUR) == pytest.approx(5 * HOUR)
    assert len(stepped.t) == 4, "a step is not cut into degrees"


@settings(max_examples=60)
@given(
    st.lists(st.floats(0, 34), min_size=2, max_size=6),
    st.lists(st.floats(0, 1), min_size=1, max_size=9),
    st.sampled_from([None, 8.0, 15.0]),
)
def test_many_moments_at_once_are_as_each_alone(
    celsius: list[float], shares: list[float], floor: float | None
) -> None:
    """Arrays of moments, targets and starts give what each would give by itself."""
    clock = run(trace([6 * n for n in range(len(celsius))], celsius), floor)
    moments = np.array(shares) * float(clock.t[-1])
    ages = clock.ages_at(moments)
    assert ages == pytest.approx([clock.age_at(m) for m in moments], rel=1e-12, abs=1e-6)
    targets = np.array(shares) * float(clock.age[-1]) * 1.1
    assert clock.reaches(targets) == pytest.approx([clock.reach(t) for t in targets], abs=1e-5)
    for start, until in zip(moments, clock.colds_since(moments, 3600.0), strict=True):
        if until < math.inf:
            spent = clock.cold_seconds(until) - clock.cold_seconds(start)
            assert spent == pytest.approx(3600, abs=1e-5)
        else:
            assert clock.cold_seconds(clock.t[-1]) - clock.cold_seconds(start) <= 3600 + 1e-6
