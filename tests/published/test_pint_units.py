"""Every accepted unit against pint's own registry, an independent table of definitions.

Source: the default definitions of the `pint` package; ours is a small file of its own.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Any

import pint
import pytest
from cureyard_service.core.amounts import quantities
from cureyard_service.core.amounts.quantities import KINDS, Kind

THEIRS = {"mil": "thou", "fl_oz": "fluid_ounce", "um": "micrometer"}
"""Names that mean something else to pint: its 'mil' is an angle."""


@lru_cache(maxsize=1)
def registry() -> pint.UnitRegistry[Any]:
    """Pint as it ships."""
    return pint.UnitRegistry()


SPELT = [(kind, text) for kind in KINDS if kind is not quantities.COUNT for text in kind.spellings]


@pytest.mark.parametrize(("kind", "text"), SPELT)
def test_each_spelling_is_the_unit_that_pint_knows(kind: Kind, text: str) -> None:
    """30 of a unit (280 of temperature, 1 of pressure: no slips) in base units, to 1e-12."""
    unit = kind.spellings[text]
    if kind is quantities.DIFFERENCE:
        unit, number = {"K": "delta_degC"}.get(unit, unit), 28
    else:
        number = {quantities.TEMPERATURE: 280, quantities.PRESSURE: 1}.get(kind, 30)
    ours = float(quantities.parse(f"{number} {text}", kind))
    base = {"K": "kelvin", "um": "micrometer"}.get(kind.base, kind.base)
    theirs = registry().Quantity(float(number), THEIRS.get(unit, unit)).to(base).magnitude
    assert ours == pytest.approx(theirs, rel=1e-12)


def test_a_mil_of_pint_s_is_not_ours() -> None:
    """Why a table of our own stands before the library: to it a mil is an angle."""
    theirs = registry().Quantity(1, "mil")
    assert not theirs.check("[length]")
    assert float(quantities.parse("1 mil", quantities.SIZE)) == 25.4


def test_shown_units_are_the_library_s_too() -> None:
    """A program that reads {value, unit} may hand the unit to pint as it stands."""
    for kind in KINDS:
        if kind is quantities.COUNT:
            continue
        for unit in (kind.metric, kind.us):
            there = registry().Quantity(1.0, unit)
            assert there.check(registry().Quantity(1.0, kind.base).dimensionality), unit
