"""Amounts with their units, as short text."""

from __future__ import annotations

import math
from typing import Literal

from ..answers import Money, Quantity

Rounding = Literal["down", "near", "up"]

_SIGNS = {
    "degC": "°C",
    "degF": "°F",
    "delta_degF": "°F",
    "m**2": "m²",
    "ft**2": "ft²",
    "g/m**2": "g/m²",
    "oz/yd**2": "oz/yd²",
    "oz/ft**2": "oz/ft²",
}

_DAY = 1440
_MINUTES = {"s": 1 / 60, "min": 1.0, "h": 60.0, "d": 1440.0}


def whole(value: float, rounding: Rounding) -> int:
    """A whole number: down, up, or the nearest."""
    return {"down": math.floor(value), "near": round(value), "up": math.ceil(value)}[rounding]


def number(value: float) -> str:
    """A number with at most three decimals; a smaller one with three figures."""
    if value and abs(value) < 0.001:
        return f"{value:.3g}"
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def amount(quantity: Quantity | None) -> str:
    """`{"value": 12.5, "unit": "kg"}` as `12.5 kg`; None as an empty text."""
    if quantity is None:
        return ""
    value, unit = _handy(quantity["value"], quantity["unit"])
    if unit in ("degC", "degF", "g"):
        value = round(value, 1)
    if unit == "piece":
        unit = "piece" if value == 1 else "pieces"
    return f"{number(value)} {_SIGNS.get(unit, unit)}"


def not_zero(quantity: Quantity) -> str:
    """An amount; an empty text if it is zero."""
    return amount(quantity) if quantity["value"] else ""


def grams(quantity: Quantity) -> str:
    """An amount as the scale beside a pot shows it: in grams, also above a kilogram."""
    if quantity["unit"] == "g":
        return f"{number(round(quantity['value'], 1))} g"
    return amount(quantity)


def taken(quantity: Quantity) -> str:
    """An amount without its sign: for a draw of -2.4 m, `2.4 m`."""
    return amount({**quantity, "value": abs(quantity["value"])})


def _handy(value: float, unit: str) -> tuple[float, str]:
    """Less than a kilogram in grams, more in kilograms, as a scale shows it."""
    if unit == "kg" and 0 < abs(value) < 1:
        return value * 1000, "g"
    if unit == "g" and abs(value) >= 1000:
        return value / 1000, "kg"
    return value, unit


def span(quantity: Quantity | None, rounding: Rounding = "near") -> str:
    """A time as `25 min` or `1 h 30 min`, rounded down, up or to the nearest minute."""
    if quantity is None:
        return ""
    count = whole(round(quantity["value"] * _MINUTES[quantity["unit"]], 3), rounding)
    if rounding == "up" and count >= _DAY:  # its minutes are not shown
        count = math.ceil(count / 60) * 60
    return minutes(count)


def minutes(count: int) -> str:
    """Whole minutes as `25 min`, `2 h 10 min` or `3 d 4 h`."""
    days, rest = divmod(count, _DAY)
    hours, left = divmod(rest, 60)
    parts = [f"{days} d" if days else "", f"{hours} h" if hours else ""]
    if not days and (left or not hours):
        parts.append(f"{left} min")
    return " ".join(filter(None, parts))


def percent(value: float | None) -> str:
    """`1.75` as `1.75 %`; None as an empty text."""
    return "" if value is None else f"{number(value)} %"


def money(cost: Money | None) -> str:
    """`{"amount": 120.5, "currency": "EUR"}` as `120.50 EUR`."""
    return "" if cost is None else f"{cost['amount']:.2f} {cost['currency']}"
