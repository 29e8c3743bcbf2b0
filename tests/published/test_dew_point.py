"""Dew point: worked values, a table, the surface rules, and PsychroLib live.

Sources:
- A worked value of a physics answer page: 22 °C, 78 % is 17.98 °C by the constants 17.27 and 237.7.
- Magnus constants: Alduchov & Eskridge, J. Appl. Meteor. 35:601-609 (1996), from memory.
- 3 °C: ISO 8502-4; ISO 12944-7; a galvanizing manual, maker not named.
- 5 °F, and the humidity at the surface: NACE 6A192/SSPC-TR3, by a trade article of 2016.
- The rule of thumb: Lawrence, BAMS 86:225-233 (2005).
"""

from __future__ import annotations

from decimal import Decimal

import psychrolib
import pytest
from cureyard_service.core.amounts import quantities
from cureyard_service.core.bays.dew_point import dew_caution, dew_point

ZERO = 273.15
HUMIDITIES = (40, 50, 60, 70, 80, 90)
TABLE = {
    10: (-2.99, 0.05, 2.59, 4.78, 6.71, 8.43),
    15: (1.50, 4.66, 7.30, 9.57, 11.58, 13.37),
    20: (5.99, 9.26, 12.00, 14.36, 16.44, 18.31),
    30: (14.93, 18.45, 21.39, 23.93, 26.17, 28.18),
}


def dew(celsius: float, humidity: float) -> float:
    """Our dew point in °C."""
    return dew_point(celsius + ZERO, humidity) - ZERO


def fahrenheit(degrees: float) -> float:
    """Degrees Fahrenheit in K."""
    return (degrees + 459.67) * 5 / 9


def test_the_worked_value() -> None:
    """17.99 °C by our constants; the page's constants say 17.9811, a hundredth less."""
    assert dew(22, 78) == pytest.approx(17.99, abs=0.005)
    assert dew(22, 78) == pytest.approx(17.9811, abs=0.011)


@pytest.mark.parametrize(("celsius", "row"), TABLE.items(), ids=str)
def test_the_table(celsius: float, row: tuple[float, ...]) -> None:
    """Each cell to its second place."""
    assert [dew(celsius, humidity) for humidity in HUMIDITIES] == pytest.approx(row, abs=0.0051)


@pytest.mark.parametrize("celsius", range(0, 41, 4))
def test_against_psychrolib(celsius: int) -> None:
    """An independent method (ASHRAE's): within 0.03 K wherever the dew is water, not frost."""
    psychrolib.SetUnitSystem(psychrolib.SI)
    for humidity in range(10, 101, 5):
        theirs = psychrolib.GetTDewPointFromRelHum(float(celsius), humidity / 100)
        if theirs > 0.01:
            assert dew(celsius, humidity) == pytest.approx(theirs, abs=0.03)


@pytest.mark.parametrize("celsius", [10, 20, 30])
def test_the_rule_of_thumb(celsius: float) -> None:
    """Lawrence (2005): over 50 %, about a degree for each 5 % of humidity."""
    for humidity in range(55, 100, 5):
        assert dew(celsius, humidity) == pytest.approx(celsius - (100 - humidity) / 5, abs=1.5)


def test_three_degrees_above_the_dew_point() -> None:
    """ISO 8502-4: at 3 K it may be coated, under it not."""
    point = dew_point(20 + ZERO, 60)
    assert dew_caution(point + 3.01, point) is None
    assert dew_caution(point + 2.99, point) is not None


def test_five_degrees_fahrenheit_are_a_difference() -> None:
    """2.78 K, short of 3 K; read as a thermometer it would be -15 °C, as one article did."""
    difference = quantities.parse("5 degF", quantities.DIFFERENCE)
    assert round(difference, 2) == Decimal("2.78")
    point = dew_point(fahrenheit(70), 60)
    assert dew_caution(point + float(difference), point) is not None
    assert dew_caution(point + 6 * 5 / 9, point) is None


@pytest.mark.parametrize(
    ("spread", "least", "most"),
    [(5, 82, 86), (15, 54, 62), (20, 43, 51), (25, 34, 42), (30, 27, 35), (35, 19, 26)],
)
def test_the_humidity_at_a_surface(spread: float, least: float, most: float) -> None:
    """The relative humidity at a surface some °F above the dew point (at 55 °F), in percent.

    The source's 10 °F row, 74-80 %, is left out: it does not fit its own neighbours.
    """
    surface = fahrenheit(55)
    point = surface - spread * 5 / 9
    assert dew_point(surface, least) <= point <= dew_point(surface, most)
