"""Activation energies of the literature, against what a fit takes, flags and refuses.

Sources:
- J. Appl. Polym. Sci. 102:1870-1876 (2006): unsaturated polyester with ketone peroxide and cobalt,
  40-60 kJ/mol for the redox step.
- Thermochim. Acta 289:209-221 (1996): a mechanistic propagation constant of 23.59 kJ/mol.
- Polymer 33:4210-4214 (1992): vinyl ester with benzoyl peroxide, hot, 17-24 kcal/mol.
- From memory: epoxy with aliphatic amine, 50-60 kJ/mol.
"""

from __future__ import annotations

from math import sqrt

import pytest
from cureyard_service.core.products import budget, gel_law
from cureyard_service.core.products.cure_sheet import GelPoint
from cureyard_service.core.products.gel_law import GelLaw, rate

ZERO = 273.15
KCAL = 4.184


def fitted(kilojoules: float) -> GelLaw:
    """The law of five gel times that lie on an activation energy, from 10 to 50 °C."""
    times = [
        (T + ZERO, 1800 / rate(T + ZERO, kilojoules * 1e3, 20 + ZERO)) for T in range(10, 51, 10)
    ]
    return gel_law.fit(tuple(GelPoint(T, None, time, time) for T, time in times))


@pytest.mark.parametrize("kilojoules", [40, 50, 60])
def test_the_redox_step_is_taken_without_a_word(kilojoules: float) -> None:
    """And where nothing was fitted, this is the range that is believed, at even chances."""
    law = fitted(kilojoules)
    assert law.flags == ()
    assert pytest.approx(kilojoules * 1e3, abs=450) == law.E
    half = sqrt(3) * budget.E_U
    assert (budget.E - half, budget.E + half) == pytest.approx((40e3, 60e3))


def test_a_propagation_constant_is_no_cure_law() -> None:
    """23.59 kJ/mol is taken, for a sheet says it, and flagged."""
    law = fitted(23.59)
    assert pytest.approx(23.59e3, rel=0.05) == law.E
    assert "kJ/mol" in law.flags[0]


@pytest.mark.parametrize(("kilocalories", "flagged"), [(17, False), (24, True)])
def test_hot_cures_reach_beyond_the_usual(kilocalories: float, flagged: bool) -> None:
    """17-24 kcal/mol is 71-100 kJ/mol: not of a room cure, and its upper half is flagged."""
    assert bool(fitted(kilocalories * KCAL).flags) is flagged
