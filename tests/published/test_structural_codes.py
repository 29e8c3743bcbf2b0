"""Equivalent age by the structural codes: the published example, and live beside a library.

Sources: fib Model Code 2020 eq. 14.6-80 and EN 1992-1-1:2023 eq. B.18 (2004: B.10), and the
tests of the `structuralcodes` library, from which the worked example comes. The codes write
sum dt exp(13.65 - 4000/(273 + T)): Arrhenius with E = 4000 R, kelvins counted from 273, and
a reference of 4000/13.65 = 293.04 K rather than 293.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from cureyard_service.core.amounts import quantities
from cureyard_service.core.bays.pattern import BayPatterns
from cureyard_service.core.bays.temperature import Trace, trace_of
from cureyard_service.core.cure import cure_clock
from cureyard_service.core.errors import Refusal
from cureyard_service.core.products.gel_law import R, rate
from hypothesis import given
from hypothesis import strategies as st
from structuralcodes.codes.ec2_2004._concrete_creep_and_shrinkage import t_T

E = 4000 * R
T_REF = 4000 / 13.65
DAY = 86_400.0
WORKED = ([19, 20, 20, 21, 22, 23], [1, 2, 1, 1, 1, 2], 8.37986781)


def aged(celsius: list[float], days: list[float]) -> float:
    """Our clock's equivalent days along a history of temperatures, each held for its days."""
    edges = np.concatenate([[0.0], np.cumsum(days)]) * DAY
    t = np.repeat(edges, 2)[1:-1]
    T = np.repeat(np.array(celsius, float) + 273, 2)
    lived = Trace(t, T, np.ones(len(t) - 1, bool))
    return cure_clock.run(lived, E, T_REF, None).age_at(lived.end) / DAY


def test_the_worked_example() -> None:
    """19 to 23 °C over 8 days are 8.37986781 days: ours, and the library's."""
    celsius, days, published = WORKED
    assert aged(celsius, days) == pytest.approx(published, abs=1e-8)
    assert t_T(celsius, days) == pytest.approx(published, abs=1e-8)


@given(st.lists(st.tuples(st.floats(-20, 60), st.floats(0.05, 30)), min_size=1, max_size=12))
def test_any_history_agrees_with_the_library(history: list[tuple[float, float]]) -> None:
    """Held temperatures have no integral to err in: the two agree to rounding."""
    celsius, days = [T for T, _ in history], [dt for _, dt in history]
    assert aged(celsius, days) == pytest.approx(float(t_T(celsius, days)), rel=1e-9)


def test_the_codes_constants_are_not_one_at_20_degrees() -> None:
    """13.65 is not 4000/293 = 13.6519: their factor at 20 °C is 0.99812, and ours is 1."""
    assert aged([20], [1]) == pytest.approx(0.99812, abs=5e-6)
    assert rate(293.15, E, 293.15) == 1.0
    assert math.exp(13.65 - 4000 / 293) == pytest.approx(aged([20], [1]))


@pytest.mark.parametrize(("longer", "shorter"), [(6, 5), (5, 6)])
def test_histories_of_unlike_lengths_are_not_cut_to_fit(longer: int, shorter: int) -> None:
    """The library raises; ours has readings as pairs, and never drops one in silence."""
    with pytest.raises(ValueError, match="shape"):
        t_T([20] * longer, [1] * shorter)
    with pytest.raises(IndexError):
        trace_of(range(longer), [293.0] * shorter, BayPatterns([], None), 0, 5, 9)  # type: ignore[arg-type]


@pytest.mark.parametrize("text", ["-273.16 degC", "-300 degC", "-460 degF", "-1 K"])
def test_colder_than_absolute_zero_is_rejected(text: str) -> None:
    """As the Model Code's form rejects T below -273.15 °C."""
    with pytest.raises(Refusal, match="absolute zero"):
        quantities.parse(text, quantities.TEMPERATURE)


@pytest.mark.parametrize("text", ["-1 d", "-0.5 h"])
def test_negative_times_are_rejected(text: str) -> None:
    """As the Model Code's form rejects a negative dt."""
    with pytest.raises(Refusal, match="below zero"):
        quantities.parse(text, quantities.TIME)
