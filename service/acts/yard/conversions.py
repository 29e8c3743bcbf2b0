"""Conversions between the numbers of the core (K, s, mg, percent) and the integers on disk."""

from __future__ import annotations

from decimal import Decimal

from ...core.amounts.quantities import Given
from ...core.errors import Refusal
from ...core.products.materials import Stuff, ledger_amount


def milli(value: Decimal | float) -> int:
    """Thousandths, to the nearest: kelvin to millikelvin."""
    return round(value * 1000)


def kelvin(millikelvin: int) -> Decimal:
    """Kelvin of a temperature or a difference on disk."""
    return Decimal(millikelvin) / 1000


def ppm(percent_value: Decimal | float | None) -> int | None:
    """Parts per million of a percent."""
    return None if percent_value is None else round(percent_value * 10_000)


def percent(parts: int | None) -> Decimal | None:
    """Percent of parts per million."""
    return None if parts is None else Decimal(parts) / 10_000


def nearest(value: Decimal | None) -> int | None:
    """A figure in whole base units; None stays None."""
    return None if value is None else round(value)


def in_ledger(given: Given, stuff: Stuff, pointer: str) -> int:
    """An amount as a person gave it, in whole stock units.

    Args:
        pointer: to the amount in the request.

    Raises: as `materials.ledger_amount`.
    """
    try:
        return ledger_amount(given, stuff)
    except Refusal as refusal:
        refusal.pointer = refusal.pointer or pointer
        raise
