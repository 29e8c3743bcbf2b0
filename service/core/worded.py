"""Amounts inside a sentence: written in both systems of units, of which the reader is shown one.

The sums know nobody's units, and their words reach people in a pound yard and in a kilogram yard.
So a sentence carries an amount twice, between marks of Unicode's private use, which nobody can
type; whoever shows the sentence takes one of the two by `shown`.
"""

from __future__ import annotations

import re
from datetime import UTC, datetime
from decimal import Decimal
from math import ceil

from .gel_law import ZERO_C
from .quantities import System

OPENS, OR, CLOSES = "\ue000", "\ue001", "\ue002"
_BOTH = re.compile(f"{OPENS}([^{OPENS}{CLOSES}]*){OR}([^{OPENS}{CLOSES}]*){CLOSES}")

UM_PER_IN = 25_400
MG_PER_LB = 453_592.37


def both(metric: str, us: str) -> str:
    """An amount in words, for either system."""
    return f"{OPENS}{metric}{OR}{us}{CLOSES}"


def heat(kelvin: float, places: int = 1) -> str:
    """A temperature: °C to so many places, °F whole."""
    celsius = kelvin - ZERO_C
    return both(f"{celsius:.{places}f} °C", f"{celsius * 9 / 5 + 32:.0f} °F")


def at_least(kelvin: float) -> str:
    """A temperature that must be reached: rounded up, to whole degrees."""
    celsius = round(kelvin - ZERO_C, 6)  # else 20 °C in K is a hair over 20
    return both(f"{ceil(celsius)} °C", f"{ceil(round(celsius * 9 / 5 + 32, 6))} °F")


def warmth(kelvin: float) -> str:
    """A difference of temperatures."""
    return both(f"{kelvin:.1f} K", f"{kelvin * 9 / 5:.1f} °F")


def size(length: float, places: int | None = None) -> str:
    """A size in µm: in mm, to so many places or as exactly as it is; in inches, to a thousandth."""
    mm = f"{length / 1000:g}" if places is None else f"{length / 1000:.{places}f}"
    return both(f"{mm} mm", f"{_figures(round(length / UM_PER_IN, 3))} in")


def weight(mass: float) -> str:
    """A mass in mg, to three figures: in kg or lb."""
    return both(f"{_figures(mass / 1e6)} kg", f"{_figures(mass / MG_PER_LB)} lb")


def utc(moment: float) -> str:
    """A moment (epoch s) where no yard's clock is known, such as 'Tue 14:35 UTC'."""
    return f"{datetime.fromtimestamp(moment, UTC):%a %H:%M} UTC"


def _figures(value: float) -> str:
    """A number to three figures, never with an exponent."""
    return f"{Decimal(f'{value:.3g}'):f}"


def shown(text: str, system: System) -> str:
    """A text with one of each two amounts."""
    return _BOTH.sub(r"\2" if system == "us" else r"\1", text)
