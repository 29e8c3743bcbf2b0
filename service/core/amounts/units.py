"""Units: their factors, of those that people write from a table, of others from `units.txt`."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from functools import lru_cache
from importlib.resources import files
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import pint

_LB, _OZ = Decimal("453592.37"), Decimal("28349.523125")  # mg
_FT, _YD = Decimal("0.3048"), Decimal("0.9144")  # m
_GAL = Decimal("3.785411784")  # L
_MMHG = Decimal("133.322387415")  # Pa

_FACTORS: Mapping[str, Mapping[str, Decimal | int]] = {
    "mg": {"mg": 1, "g": 10**3, "kg": 10**6, "lb": _LB, "oz": _OZ},
    "uL": {"mL": 10**3, "L": 10**6, "gal": _GAL * 10**6, "qt": _GAL * 10**6 / 4,
           "fl_oz": _GAL * 10**6 / 128},
    "um": {"um": 1, "mm": 10**3, "cm": 10**4, "m": 10**6, "mil": Decimal("25.4"), "in": 25_400,
           "ft": _FT * 10**6, "yd": _YD * 10**6},
    "mm**2": {"cm**2": 100, "m**2": 10**6, "in**2": Decimal("645.16"), "ft**2": _FT**2 * 10**6,
              "yd**2": _YD**2 * 10**6},
    "mg/m**2": {"g/m**2": 10**3, "kg/m**2": 10**6, "oz/ft**2": _OZ / _FT**2,
                "oz/yd**2": _OZ / _YD**2},
    "mg/L": {"g/L": 10**3, "kg/L": 10**6, "g/mL": 10**6, "lb/gal": _LB / _GAL,
             "lb/ft**3": _LB / (_FT * 10) ** 3},
    "K": {"K": 1, "delta_degF": Decimal(5) / 9},
    "s": {"s": 1, "min": 60, "h": 3600, "d": 86_400, "week": 604_800, "month": 2_629_800,
          "year": 31_557_600},
    "Pa": {"hPa": 100, "mbar": 100, "kPa": 1000, "bar": 10**5, "mmHg": _MMHG,
           "inHg": _MMHG * Decimal("25.4"),
           "psi": _LB * Decimal("9.80665") / Decimal("645.16")},
    "millipiece": {"piece": 10**3},
}  # fmt: skip
"""How many of a base unit are in each unit that people write: the library takes a fifth of the time
of a command to import. A test holds them against it.
"""


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
    if (known := _FACTORS.get(base, {}).get(unit)) is not None:
        return Decimal(known), Decimal(0)
    return defined(unit, base), Decimal(0)


def defined(unit: str, base: str) -> Decimal:
    """How many of a base unit are in a unit, by the definitions."""
    ureg = _registry()
    ratio = (ureg.Quantity(Decimal(1), unit) / ureg.Quantity(Decimal(1), base)).to("")
    return Decimal(ratio.magnitude)
