"""Age factors, a worked history and gel times scaled by temperature: tables of figures.

Sources of the forms: Freiesleben Hansen & Pedersen (1977), cited by Schindler, ACI Mater. J.
101-M09 (2004); ASTM C1074 and the constants of the former are from memory. The tables were computed
from these forms with R = 8.314, some columns with 273, and are printed to three places.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from cureyard_service.core.bays.temperature import Trace
from cureyard_service.core.cure import cure_clock
from cureyard_service.core.products import budget, gel_law
from cureyard_service.core.products.cure_sheet import GelPoint
from cureyard_service.core.products.evidence import R
from cureyard_service.core.products.gel_law import rate

ZERO = 273.15
PRINTED = R / 8.314
"""The tables rounded the gas constant: E of theirs is this much more of ours."""
HOUR = 3600.0
CELSIUS = (5, 10, 15, 20, 25, 30, 35, 40)

ARRHENIUS = {
    (5000 * R, 20, 273): (0.398, 0.547, 0.744, 1.000, 1.332, 1.756, 2.296, 2.975),
    (5000 * R, 23, 273): (0.335, 0.460, 0.625, 0.841, 1.120, 1.477, 1.931, 2.503),
    (40e3 * PRINTED, 20, ZERO): (0.413, 0.560, 0.752, 1.000, 1.317, 1.718, 2.223, 2.852),
    (50e3 * PRINTED, 20, ZERO): (0.331, 0.485, 0.700, 1.000, 1.411, 1.967, 2.715, 3.707),
    (60e3 * PRINTED, 20, ZERO): (0.265, 0.419, 0.652, 1.000, 1.511, 2.253, 3.315, 4.818),
    (50e3 * PRINTED, 25, ZERO): (0.234, 0.344, 0.497, 0.709, 1.000, 1.395, 1.924, None),
}
"""(E in J/mol, reference °C, K of 0 °C) → the factor at each of CELSIUS."""
CODES = (0.4778, 0.6161, 0.7875, 0.9981, 1.2551, 1.5662, 1.9406, 2.3880)
FHP = (0.293, 0.497, 0.748, 1.000, 1.259, 1.574, 1.952, 2.406)


@pytest.mark.parametrize(("law", "factors"), ARRHENIUS.items(), ids=str)
def test_arrhenius_columns(
    law: tuple[float, float, float], factors: tuple[float | None, ...]
) -> None:
    """Each printed factor, to its third place."""
    E, reference, zero = law
    for celsius, factor in zip(CELSIUS, factors, strict=True):
        if factor is not None:
            ours = rate(celsius + zero, E, reference + zero)
            assert ours == pytest.approx(factor, abs=6e-4), celsius


def test_the_codes_column() -> None:
    """E = 4000 R from 273, at the codes' own reference of 4000/13.65 K."""
    for celsius, factor in zip(CELSIUS, CODES, strict=True):
        assert rate(celsius + 273, 4000 * R, 4000 / 13.65) == pytest.approx(factor, abs=6e-5)


def test_the_piecewise_column() -> None:
    """E of 33.5 kJ/mol from 20 °C up, and 1.47 kJ/mol more for each degree below (memory)."""
    for celsius, factor in zip(CELSIUS, FHP, strict=True):
        E = 33.5e3 + 1.47e3 * max(20 - celsius, 0)
        assert rate(celsius + ZERO, E, 20 + ZERO) == pytest.approx(factor, abs=6e-4)


HISTORY = [(4, 25), (12, 12), (8, 18)]
"""Hours at °C, one after another: a real day."""
WORKED = [
    (4000 * R, 4000 / 13.65, 273.0, 20.455, 30.48, 38.95),
    (50e3 * PRINTED, 20 + ZERO, ZERO, 19.340, 34.26, 49.53),
    (60e3 * PRINTED, 20 + ZERO, ZERO, 18.815, 36.79, 57.25),
    (5000 * R, 296.0, 273.0, 16.717, 38.37, 52.14),
]


def held(hours: list[tuple[float, float]], zero: float) -> Trace:
    """A trace of temperatures in °C held for hours each."""
    edges = np.concatenate([[0.0], np.cumsum([h for h, _ in hours])]) * HOUR
    T = np.array([celsius + zero for _, celsius in hours], float)
    t = np.repeat(edges, 2)[1:-1]
    return Trace(t, np.repeat(T, 2), np.ones(len(t) - 1, bool))


@pytest.mark.parametrize(("E", "T_ref", "zero", "age", "at_15", "at_10"), WORKED)
def test_a_full_worked_history(
    E: float, T_ref: float, zero: float, age: float, at_15: float, at_10: float
) -> None:
    """24 real hours as equivalent hours, and the hours at 15 and 10 °C that earn 24."""
    lived = held(HISTORY, zero)
    assert cure_clock.run(lived, E, T_ref, None).age_at(lived.end) / HOUR == pytest.approx(
        age, rel=1e-4
    )
    for celsius, hours in ((15, at_15), (10, at_10)):
        clock = cure_clock.run(held([(100, celsius)], zero), E, T_ref, None)
        assert clock.reach(24 * HOUR) / HOUR == pytest.approx(hours, rel=5e-4)


@pytest.mark.parametrize(
    ("E", "minutes"),
    [
        (40e3, (70.5, 52.5, 44.2, 39.5, 23.0, 17.8)),
        (50e3, (87.3, 60.4, 48.7, 42.3, 21.5, 15.6)),
        (60e3, (108.1, 69.5, 53.7, 45.3, 20.1, 13.7)),
    ],
)
def test_a_gel_time_scaled_from_25_degrees(E: float, minutes: tuple[float, ...]) -> None:
    """30 min at 25 °C, at 10, 15, 18, 20, 30 and 35 °C."""
    law = replace(gel_law.fit((GelPoint(25 + ZERO, None, 1800, 1800),)), E=E)
    for celsius, expected in zip((10, 15, 18, 20, 30, 35), minutes, strict=True):
        assert law.gel_time(celsius + ZERO, None) / 60 == pytest.approx(expected, abs=0.06)


@pytest.mark.parametrize(("cold", "warm", "E"), [(15, 25, 49.5), (20, 30, 51.2), (25, 35, 52.9)])
def test_doubling_per_ten_degrees_as_an_energy(cold: float, warm: float, E: float) -> None:
    """Algebra: the energy that doubles a rate, which lies in the range that a sheet may have."""
    assert rate(warm + ZERO, E * 1e3, cold + ZERO) == pytest.approx(2, rel=2e-3)
    assert abs(E * 1e3 - budget.E) < budget.E_U


def test_the_rule_of_thumb_worked() -> None:
    """An adhesive supplier's note: gel 10 and cure 60 min at 25 °C are 5 and 30 at 35 °C.

    The rule of thumb is met to a twentieth: 50 kJ/mol is a little under a doubling there.
    """
    law = gel_law.fit((GelPoint(25 + ZERO, None, 600, 600),))
    assert law.gel_time(35 + ZERO, None) / 60 == pytest.approx(5, rel=0.05)
    clock = cure_clock.run(held([(10, 35)], ZERO), law.E, 25 + ZERO, None)
    assert clock.reach(3600) / 60 == pytest.approx(30, rel=0.05)
