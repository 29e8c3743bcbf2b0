"""What a receipt cost: said of all that is in the container, or as a price for a unit."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal
from typing import Any

from ...core.errors import Invalid
from ...core.products.materials import Stuff, stock_amount
from ..yard import conversions as units
from ..yard import settings as yard

MOST_MINOR = 10**11
"""The most that a receipt may cost, in hundredths: beyond it the unit is wrong."""

Cost = tuple[int, str]
"""In minor units, and its currency."""


def of_receipt(
    amount: int, stuff: Stuff, cost: dict[str, Any] | None, cost_per: dict[str, Any] | None
) -> Cost | None:
    """The cost of so much of a product; None where nobody said.

    Args:
        amount: received, in stock units.
        cost: `amount` of all of it, and `currency`.
        cost_per: `amount` for `per`, a quantity, and `currency`; without it the yard's.

    Raises:
        Invalid: both are given, or an amount that can't be. UnitMismatch, CureSheetMissing: the
        product is not counted by that unit, or not known in it.
    """
    if cost is not None and cost_per is not None:
        raise Invalid(
            "The cost is given twice.",
            advice="Give 'cost', of all that was received, or 'cost_per', for a unit of it.",
            pointer="/cost_per",
        )
    if cost is not None:
        return hundredths(cost["amount"]), cost["currency"]
    if cost_per is None:
        return None
    return of_price(amount, stuff, cost_per), cost_per.get("currency") or yard.show_yard().currency


def of_price(amount: int, stuff: Stuff, cost_per: dict[str, Any]) -> int:
    """What so much comes to at a price for a unit, in minor units, to the nearest.

    Raises: as `of_receipt`.
    """
    per = cost_per["per"]
    units.in_ledger(per, stuff, "/cost_per/per")  # a price of bare ounces has two meanings too
    minor = cost_per["amount"] * 100 * amount / stock_amount(per.value, per.kind, stuff)
    if minor > MOST_MINOR:
        raise Invalid(
            "No delivery costs that much.", advice="Check the price, and its unit.",
            pointer="/cost_per/amount",
        )  # fmt: skip
    return int(Decimal(minor).to_integral_value(ROUND_HALF_UP))


def hundredths(amount: Decimal) -> int:
    """An amount of money in minor units.

    Raises: Invalid: it has more than two decimal places.
    """
    minor = amount * 100
    if minor != minor.to_integral_value():
        raise Invalid(
            "A cost has at most two decimal places.", advice="Round it.", pointer="/cost/amount"
        )
    return int(minor)
