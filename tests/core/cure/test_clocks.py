"""Ten clocks along a trace: the exact clock, with one thing off at a time."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from cureyard_service.core.bays.temperature import Trace
from cureyard_service.core.cure import cure_clock
from cureyard_service.core.cure.clocks import CELL_S, Doubt, Law, running
from cureyard_service.core.products.evidence import R
from cureyard_service.core.products.mixture import ENERGIES, SHIFTS
from hypothesis import given, settings
from hypothesis import strategies as st

from ..makers import HOUR, kelvin, steady, trace

LAW = Law((44e3, 56e3), kelvin(20), None, None)


def lived_through(celsius: list[float]) -> Trace:
    """A few hours from each temperature to the next."""
    return trace([8 * n for n in range(len(celsius))], celsius)


@settings(max_examples=40)
@given(st.lists(st.floats(8, 32), min_size=3, max_size=8), st.floats(0, 5))
def test_each_is_the_exact_clock_of_its_own_bay(celsius: list[float], kelvins: float) -> None:
    """Warmer or colder throughout, by either energy.

    On the means of ten minutes: by the midpoint rule a slope of k kelvins a cell errs by less than
    (k E/RT²)²/24, so 2e-5 at 1.7 K an hour and 3e-4 at 6.
    """
    lived = lived_through(celsius)
    shown = running(lived, Doubt.steady(kelvins), LAW).steady
    for node, (share, k) in enumerate(zip(SHIFTS, ENERGIES, strict=True)):
        exact = cure_clock.run(lived.shifted(share * kelvins), LAW.E[k], LAW.T_ref, None)
        whole = exact.age_at(lived.end)
        cell = max(abs(np.diff(celsius))) / (8 * HOUR / CELL_S)
        bound = (cell * LAW.E[k] / (R * kelvin(min(celsius) - kelvins) ** 2)) ** 2 / 24
        assert shown.ages[node, -1] == pytest.approx(whole, rel=bound + 1e-6)


@settings(max_examples=40)
@given(st.lists(st.floats(2, 34), min_size=3, max_size=8), st.floats(0.02, 0.98))
def test_reaching_undoes_ageing(celsius: list[float], share: float) -> None:
    """For each clock, while it runs."""
    lived = lived_through(celsius)
    shown, moment = running(lived, Doubt.steady(2), LAW).steady, share * lived.end
    ages = shown.at(np.array([moment]))
    for clock in range(10):
        assert shown.reach(clock, ages[clock])[0] == pytest.approx(moment, rel=1e-9)
    assert shown.reach(0, np.array([1e12]))[0] == np.inf


def test_a_clock_stands_still_under_the_floor() -> None:
    """At 10.5 ± 1 °C, floor 10, the two coldest offsets of five stand; none that never pauses."""
    both = running(steady(10.5, 10), Doubt.steady(1), replace(LAW, floor=kelvin(10)))
    stands = both.pausing.ages[:, -1] == 0
    assert stands.tolist() == [True] * 4 + [False] * 6
    assert (both.steady.ages[:, -1] > 0).all()
    warm = running(steady(20, 10), Doubt.steady(1), replace(LAW, floor=kelvin(10)))
    assert warm.pausing is warm.steady


def test_under_the_coldest_the_higher_energy_is_slower_still() -> None:
    """8 K under it by e^(-0.64); the lower one, and both above it, are as they were."""
    usual = running(steady(7, 10), Doubt.steady(0), LAW).steady.ages[:, -1]
    under = running(steady(7, 10), Doubt.steady(0), replace(LAW, coldest=kelvin(15)))
    assert under.steady.ages[:, -1] / usual == pytest.approx([1, np.exp(-0.64)] * 5)
    above = running(steady(7, 10), Doubt.steady(0), replace(LAW, coldest=kelvin(7)))
    assert above.steady.ages[:, -1] == pytest.approx(usual)


def test_what_was_measured_is_surer_than_what_is_ahead() -> None:
    """An hour measured ± 1 K, an hour ahead ± 3: each node's share of it is the same."""
    lived = trace([0, 1], [20, 20]).then(trace([1, 2], [20, 20], measured=False))
    shown = running(lived, Doubt(1.0, 3.0), LAW).steady.ages
    for node, (share, k) in enumerate(zip(SHIFTS, ENERGIES, strict=True)):
        hours = [cure_clock.arrhenius(kelvin(20) + share * a, LAW.E[k], LAW.T_ref) for a in (1, 3)]
        assert shown[node, -1] == pytest.approx(sum(hours) * HOUR)


def test_a_stretch_of_one_temperature_is_one_cell() -> None:
    """A slope is cut to ten minutes."""
    assert len(running(steady(20), Doubt.steady(1), LAW).steady.t) == 2
    slope = running(trace([0, 2], [10, 20]), Doubt.steady(1), LAW).steady.t
    assert len(slope) == 1 + 2 * HOUR / CELL_S


def test_the_clocks_of_a_trace_are_kept() -> None:
    """Whatever chance is asked for; another doubt or law has its own."""
    lived = steady(20)
    kept = running(lived, Doubt(1, 2), LAW)
    assert running(lived, Doubt(1, 2, 0.99), LAW) is kept
    assert running(lived, Doubt(1, 3), LAW) is not kept


@pytest.mark.parametrize("bonds", [1, 2, 5])
def test_all_bonds_hold_as_surely_as_one(bonds: int) -> None:
    """Each may fail in its share of one in twenty (Bonferroni's inequality)."""
    each = Doubt.steady(1).of_bonds(bonds)
    assert bonds * (1 - each.sure) == pytest.approx(0.05)
