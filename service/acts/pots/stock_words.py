"""Whether the store has what a pot takes: words for a dose that nothing is drawn for yet."""

from __future__ import annotations

from datetime import date

from ...core.amounts import sentences as worded
from ...core.stock import remainder
from ...store.products import Product
from ...store.stock.jobs import numbers_of
from ..stock import reserve


def words(product: Product, wanted: int, today: date) -> list[str]:
    """What to know of a product before a pot takes so much of it, in mg; nothing if all is well.

    Held lots and those out of date don't count: mixing refuses them.
    """
    reserved = reserve.of_product(product, today)
    there = sum(lot.on_hand for lot in reserved.lots if not lot.last_day or lot.last_day >= today)
    spare = remainder.allowance(wanted)
    if there + spare < wanted:
        return [
            f"{product.code} is short: the pot takes {_weight(wanted)}, and {_weight(there)} "
            "is there that may be used."
        ]
    if reserved.free() + spare >= wanted:
        return []
    numbers = numbers_of(kept.job for kept in reserved.kept).values()
    return [
        f"{product.code} is promised: {_weight(max(reserved.free(), 0))} of {_weight(there)} is "
        f"free, the rest is reserved for {', '.join(sorted(numbers))}."
    ]


def _weight(mass: int) -> str:
    return worded.weight(mass) if mass >= 1_000_000 else f"{mass / 1000:g} g"
