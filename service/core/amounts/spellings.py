"""Spellings: how people write the units of the trade.

Each table maps a tidied spelling (see `tidy`) to the name of a unit in `units.txt`. A unit that is
in no table can't be entered.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType


def tidy(unit: str) -> str:
    """A unit's text with case, spaces, powers and underscores written in one way."""
    text = " ".join(unit.replace("_", " ").casefold().split())
    for mark in ("**", "^"):
        text = text.replace(mark, "")
    return text.replace("²", "2").replace("³", "3")


def _table(**units: str) -> Mapping[str, str]:
    """Spellings by unit: `_table(kg="kg kilogram")`; an underscore is a space."""
    table = {}
    for unit, texts in units.items():
        for text in texts.split():
            table[text.replace("_", " ")] = unit
    return MappingProxyType(table)


MASSES = _table(
    mg="mg", g="g gram grams", kg="kg kilogram kilograms", lb="lb lbs pound pounds",
    oz="oz ounce ounces oz_by_weight ounce_by_weight ounces_by_weight oz_wt",
)  # fmt: skip
BARE_OUNCES = frozenset({"oz", "ounce", "ounces"})
"""These may be meant as a mass or as a volume."""
VOLUMES = _table(
    mL="ml cc", L="l liter litre liters litres", gal="gal gallon gallons", qt="qt quart quarts",
    fl_oz="fl_oz floz fluid_ounce fluid_ounces",
)  # fmt: skip
LENGTHS = _table(
    um="μm um micron microns", mm="mm", cm="cm", m="m meter metre meters metres",
    mil="mil mils", ft="ft foot feet ' ", yd="yd yard yards", **{"in": 'in inch inches "'},
)  # fmt: skip
AREAS = MappingProxyType(
    {
        "cm2": "cm**2", "sq cm": "cm**2", "m2": "m**2", "sq m": "m**2", "in2": "in**2",
        "sq in": "in**2", "ft2": "ft**2", "sq ft": "ft**2", "yd2": "yd**2", "sq yd": "yd**2",
    }
)  # fmt: skip
AREAL_WEIGHTS = MappingProxyType(
    {
        "g/m2": "g/m**2", "gsm": "g/m**2", "kg/m2": "kg/m**2", "oz/yd2": "oz/yd**2",
        "oz/sq yd": "oz/yd**2", "oz/ft2": "oz/ft**2", "oz/sq ft": "oz/ft**2",
    }
)  # fmt: skip
DENSITIES = MappingProxyType(
    {"kg/l": "kg/L", "g/ml": "g/mL", "g/cm3": "g/mL", "kg/m3": "g/L", "lb/gal": "lb/gal",
     "lb/ft3": "lb/ft**3"}
)  # fmt: skip
TEMPERATURES = MappingProxyType(
    {
        "degc": "degC", "°c": "degC", "c": "degC", "celsius": "degC",
        "degf": "degF", "°f": "degF", "f": "degF", "fahrenheit": "degF", "k": "K",
    }
)  # fmt: skip
DIFFERENCES = MappingProxyType(
    {
        "k": "K", "delta degc": "K", "delta c": "K", "degc": "K", "°c": "K", "c": "K",
        "delta degf": "delta_degF", "delta f": "delta_degF", "degf": "delta_degF",
        "°f": "delta_degF", "f": "delta_degF",
    }
)  # fmt: skip
TIMES = _table(
    s="s sec second seconds",
    min="min minute minutes",
    h="h hr hrs hour hours",
    d="d day days",
    week="week weeks",
    month="month months",
    year="year years",
)
PRESSURES = _table(
    hPa="hpa", kPa="kpa", mbar="mbar millibar millibars", bar="bar bars", psi="psi",
    inHg="inhg in_hg inches_hg", mmHg="mmhg mm_hg",
)  # fmt: skip
COUNTS = _table(piece="piece pieces pc pcs ea each")
