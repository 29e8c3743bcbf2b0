"""Units: their factors, from the definitions in `units.txt`."""

from __future__ import annotations

from decimal import Decimal
from functools import lru_cache
from importlib.resources import files
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import pint


@lru_cache(maxsize=1)
def _registry() -> pint.UnitRegistry[Any]:
    """The units of the trade, loaded when the first quantity is read."""
    import pint  # imported late: it is the slowest import of the service

    definitions = str(files(__package__).joinpath("units.txt"))
    return pint.UnitRegistry(definitions, non_int_type=Decimal)


@lru_cache(maxsize=512)
def scale(unit: str, base: str) -> tuple[Decimal, Decimal]:
    """(factor, offset) between two units: base = factor × (value + offset).

    Exact wherever the unit's definition is.
    """
    if unit in ("degC", "degF"):  # the library rounds the offset of °F
        degree = Decimal(1) if unit == "degC" else Decimal(5) / Decimal(9)
        return degree, Decimal("273.15") if unit == "degC" else Decimal("459.67")
    ureg = _registry()
    ratio = (ureg.Quantity(Decimal(1), unit) / ureg.Quantity(Decimal(1), base)).to("")
    return Decimal(ratio.magnitude), Decimal(0)
