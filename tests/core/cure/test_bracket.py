"""A film's gel between two looks: what it tells of the pair, and when it tells nothing."""

from __future__ import annotations

from dataclasses import replace
from math import exp, log, sqrt
from typing import Any

import numpy as np
import pytest
from cureyard_service.core.cure.bracket import Bracket, film_of
from cureyard_service.core.products.evidence import Film, R
from scipy.integrate import quad

from ..makers import HOUR, MIN, POLYESTER, kelvin, law_of

SHEET = replace(POLYESTER, film_gel=40 * MIN)
STEADY = ((0.0, kelvin(20)), (1 * HOUR, kelvin(20)))


def bracket(wet: float = 38, gelled: float = 46, **changes: Any) -> Bracket:
    """Two looks, in minutes after the mixing, in a bay that was read at 20 °C throughout."""
    steady = Bracket(1, 0.0, wet * MIN, gelled * MIN, STEADY, 2.0, 4 * HOUR, 5 * MIN)
    return replace(steady, **changes)


def film(looks: Bracket, percent: float | None = 1.5, **sheet: Any) -> Film | None:
    """What it tells by the sheet, or by one that says something else."""
    changed = replace(SHEET, **sheet)
    return film_of(looks, percent, changed, law_of(changed), 0.0)


def test_in_a_steady_bay_it_is_the_middle_of_the_looks() -> None:
    """Geometric; its noise is the looks' width by √12 and 2 K by √3."""
    found = film(bracket())
    assert found is not None
    assert found.temperature == pytest.approx(kelvin(20))
    assert found.time == pytest.approx(sqrt(38 * 46) * MIN)
    warmer = 50e3 / (R * kelvin(20) ** 2) * 2 / sqrt(3)
    assert found.noise == pytest.approx(log(46 / 38) ** 2 / 12 + warmer**2, rel=1e-6)
    assert found.x == pytest.approx(0, abs=1e-12)
    assert found.z == 0


def test_in_a_bay_that_cools_it_aged_as_at_one_temperature() -> None:
    """24 falling to 12 °C within 46 minutes: by integrating the law's own rate."""
    ramp = ((0.0, kelvin(24)), (46 * MIN, kelvin(12)))
    found, E = film(bracket(readings=ramp)), law_of(SHEET).E

    def rate(t: float) -> float:
        T = float(np.interp(t, [0, 46 * MIN], [kelvin(24), kelvin(12)]))
        return exp(-E / R * (1 / T - 1 / kelvin(20)))

    first, last = (quad(rate, 0, until * MIN)[0] for until in (38, 46))
    assert found is not None
    aged = found.time * exp(-E / R * (1 / found.temperature - 1 / kelvin(20)))
    assert aged == pytest.approx(sqrt(first * last), rel=1e-5)
    assert found.width == pytest.approx(log(last / first), rel=1e-5)


def test_a_part_that_was_measured_goes_by_its_own_warmth() -> None:
    """At 26 °C when it was laid, in a bay at 20: it aged warmer than its bay."""
    plain, own = film(bracket()), film(bracket(surface=kelvin(26), gap=1 * HOUR))
    assert plain is not None
    assert own is not None
    assert kelvin(20) < plain.temperature + 1 < own.temperature < kelvin(26)


@pytest.mark.parametrize(
    "looks",
    [
        bracket(30, 46),  # too far apart
        bracket(18, 24),  # 0.52 of the sheet's: a cup like it holds the lot
        bracket(62, 70),
        bracket(readings=()),
        bracket(readings=((0.0, kelvin(20)),), gap=40 * MIN),  # nobody read at the end
        bracket(readings=((40 * MIN, kelvin(20)),), gap=30 * MIN),  # nor at the beginning
        bracket(readings=((0.0, kelvin(20)), (46 * MIN, kelvin(9))), gap=2 * HOUR),  # too cold
    ],
)
def test_what_teaches_nothing(looks: Bracket) -> None:
    """It is too wide, far from the sheet, unread, or under the floor."""
    assert film(looks) is None


def test_without_a_film_on_the_sheet_it_teaches_nothing() -> None:
    """A cup's time says little of a film's."""
    assert film(bracket(), film_gel=None) is None


def test_its_dose_is_taken_against_the_sheets_own() -> None:
    """At 2 % against 1.5 it is expected sooner: what is slow at 2 % is held, and 30 min is not."""
    found = film(bracket(28, 33), 2.0)
    assert found is not None
    assert found.z == pytest.approx(log(2 / 1.5))
    assert film(bracket(44, 50), 2.0) is None
    assert film(bracket(44, 50), 1.5) is not None
