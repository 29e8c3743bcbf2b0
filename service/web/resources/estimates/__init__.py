"""Estimates: calculations for a repair, nothing is kept; one subject a file."""

from __future__ import annotations

from . import (
    air,
    bagging,
    bedding,
    coating,
    cored,
    fairing,
    foam,
    laminate,
    moisture,
    pots,
    roll,
    sheets,
    tabbing,
    taper,
)
from .base import blp

__all__ = [
    "air", "bagging", "bedding", "blp", "coating", "cored", "fairing", "foam", "laminate",
    "moisture", "pots", "roll", "sheets", "tabbing", "taper",
]  # fmt: skip
