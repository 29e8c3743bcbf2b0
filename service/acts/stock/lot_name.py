"""What people call a lot."""

from __future__ import annotations

from ...store.stock.lots import Lot


def name_of(row: Lot) -> str:
    """A lot's name for people: number, container, product."""
    return f"{row.number}/{row.container} ({row.product.code})"
