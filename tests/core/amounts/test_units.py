"""The table of factors, against the definitions that it saves reading."""

from __future__ import annotations

import subprocess
import sys
from decimal import Decimal

import pytest
from cureyard_service.core.amounts.quantities import KINDS
from cureyard_service.core.amounts.units import defined, scale

WRITTEN = sorted(
    {
        (unit, kind.base)
        for kind in KINDS
        for unit in (*kind.spellings.values(), kind.metric, kind.us)
        if unit not in ("degC", "degF")
    }
)
"""Each unit that a person may write or that an answer shows, and what it is counted in."""

EACH = """
import sys
from cureyard_service.core.amounts.units import scale
for unit, base in {written!r}:
    scale(unit, base)
assert "pint" not in sys.modules
"""


@pytest.mark.parametrize(("unit", "base"), WRITTEN)
def test_the_table_is_as_defined(unit: str, base: str) -> None:
    """To the last of 28 digits but two, where a factor has no end."""
    factor, offset = scale(unit, base)
    assert offset == 0
    assert abs(factor / defined(unit, base) - 1) < Decimal("1e-26")


def test_the_table_has_each_unit() -> None:
    """So that none of them is worth importing the library for."""
    subprocess.run([sys.executable, "-c", EACH.format(written=WRITTEN)], check=True)


def test_another_unit_is_looked_up() -> None:
    """A unit of the definitions that nobody writes."""
    assert scale("cg", "mg") == (10, 0)
