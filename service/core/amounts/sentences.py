"""Amounts as they are written inside a sentence, in both systems of units: see `core/words.py`."""

from __future__ import annotations

from datetime import UTC, datetime
from decimal import Decimal
from math import ceil

from ..words import Amount, Text, Words
from .quantities import KIND_OF_MEASURE, ZERO_C, Measure, figure

UM_PER_IN = 25_400
MG_PER_LB = 453_592.37
PA_PER_INHG = 3386.389


def _amount(metric: str, us: str) -> Words:
    return Words((Amount(metric, us),))


def heat(kelvin: float, places: int = 1) -> Words:
    """A temperature: °C to so many places, °F whole."""
    celsius = kelvin - ZERO_C
    return _amount(f"{celsius:.{places}f} °C", f"{celsius * 9 / 5 + 32:.0f} °F")


def at_least(kelvin: float) -> Words:
    """A temperature that must be reached: rounded up, to whole degrees."""
    celsius = round(kelvin - ZERO_C, 6)  # else 20 °C in K is a hair over 20
    return _amount(f"{ceil(celsius)} °C", f"{ceil(round(celsius * 9 / 5 + 32, 6))} °F")


def warmth(kelvin: float) -> Words:
    """A difference of temperatures."""
    return _amount(f"{kelvin:.1f} K", f"{kelvin * 9 / 5:.1f} °F")


def size(length: float, places: int | None = None) -> Words:
    """A size in µm: in mm, to so many places or as exactly as it is; in inches, to a thousandth."""
    mm = f"{length / 1000:g}" if places is None else f"{length / 1000:.{places}f}"
    return _amount(f"{mm} mm", f"{_figures(round(length / UM_PER_IN, 3))} in")


def weight(mass: float) -> Words:
    """A mass in mg, to three figures: in kg or lb."""
    return _amount(f"{_figures(mass / 1e6)} kg", f"{_figures(mass / MG_PER_LB)} lb")


def pressure(pascals: float, places: int = 0) -> Words:
    """A pressure: hPa to so many places, inches of mercury to one more."""
    return _amount(
        f"{pascals / 100:.{places}f} hPa", f"{pascals / PA_PER_INHG:.{places + 1}f} inHg"
    )


def utc(moment: float) -> str:
    """A moment (epoch s) where no yard's clock is known, such as 'Tue 14:35 UTC'."""
    return f"{datetime.fromtimestamp(moment, UTC):%a %H:%M} UTC"


def stock(amount: int, measure: Measure) -> Text:
    """An amount of stock, to the ledger's unit: in kg or lb, m or yd, or pieces."""
    kind = KIND_OF_MEASURE[measure]
    light = measure == "mass" and amount < 1_000_000
    metric, us = (
        f"{figure(amount, kind, unit, kind.places).normalize():f} {unit}"
        for unit in ("g" if light else kind.metric, kind.us)
    )
    if measure == "count":
        return metric if amount == 1000 else f"{metric}s"
    return _amount(metric, us)


def crumb(amount: int, measure: Measure) -> Text:
    """A very small amount of stock: in grams, in mm or in, or in parts of a piece."""
    if measure == "mass":
        return f"{amount / 1000:g} g"
    if measure == "length":
        return _amount(f"{amount / 1000:g} mm", f"{Decimal(amount) / UM_PER_IN:.4f} in")
    return f"{amount / 1000:g} of a piece"


def _figures(value: float) -> str:
    """A number to three figures, never with an exponent."""
    return f"{Decimal(f'{value:.3g}'):f}"
