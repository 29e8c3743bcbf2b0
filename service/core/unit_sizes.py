"""How large the units of the trade are: a table, since each is a fixed number of another.

Exact by definition: the international yard and pound (1959), the US gallon of 231 cubic inches.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from functools import lru_cache

_INCH = Fraction("0.0254")
_POUND = Fraction("453.59237")
_LITRE = Fraction(1, 1000)
_GALLON = 231 * _INCH**3

SIZES: dict[str, Fraction] = {
    # in grams
    "mg": Fraction(1, 1000), "g": Fraction(1), "kg": Fraction(1000),
    "lb": _POUND, "oz": _POUND / 16,
    # in metres
    "um": Fraction(1, 10**6), "mm": Fraction(1, 1000), "cm": Fraction(1, 100), "m": Fraction(1),
    "mil": _INCH / 1000, "in": _INCH, "ft": 12 * _INCH, "yd": 36 * _INCH,
    # in cubic metres
    "uL": _LITRE / 10**6, "mL": _LITRE / 1000, "L": _LITRE,
    "gal": _GALLON, "qt": _GALLON / 4, "fl_oz": _GALLON / 128,
    # in seconds
    "s": Fraction(1), "min": Fraction(60), "h": Fraction(3600), "d": Fraction(86_400),
    # in kelvin, as a difference
    "K": Fraction(1), "delta_degF": Fraction(5, 9),
    # in pieces
    "piece": Fraction(1), "millipiece": Fraction(1, 1000),
}  # fmt: skip


@lru_cache(maxsize=512)
def ratio(unit: str, base: str) -> Decimal:
    """How many of one unit make another of its kind; exact where that is a decimal number.

    Args:
        unit, base: names of `SIZES`, or such as `mm**2`, `oz/yd**2`.
    """
    exact = _size(unit) / _size(base)
    return Decimal(exact.numerator) / Decimal(exact.denominator)


def _size(unit: str) -> Fraction:
    above, _, under = unit.partition("/")
    return _power(above) / (_power(under) if under else 1)


def _power(unit: str) -> Fraction:
    name, _, exponent = unit.partition("**")
    return SIZES[name] ** int(exponent or 1)
