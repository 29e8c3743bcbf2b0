"""The cost of a receipt: given for the whole container, or as a price for a unit."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

from ...core.errors import Invalid
from ...core.products.materials import Stuff, stock_amount
from ..yard import conversions, settings

MOST_MINOR = 10**11
"""The greatest cost of a receipt, in hundredths; a greater one has the wrong unit."""

Cost = tuple[int, str]
"""An amount in minor units, and its currency."""
Said = Mapping[str, Any]
"""A cost as a request has it: `amount` and `currency`; a price for a unit has `per` as well."""


def of_receipt(amount: int, stuff: Stuff, cost: Said | None, cost_per: Said | None) -> Cost | None:
    """The cost of an amount received, in stock units; None if nobody gave it.

    Args:
        cost: of all of it. cost_per: for a quantity `per`; its currency may be missing, and is
            the yard's then.

    Raises:
        Invalid: both are given, or an impossible amount. UnitMismatch, CureSheetMissing: the
        product is not counted by that unit, or lacks the figure to convert it.
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
    currency = cost_per.get("currency") or settings.show_yard().currency
    return of_price(amount, stuff, cost_per), currency


def of_price(amount: int, stuff: Stuff, cost_per: Said) -> int:
    """The cost of an amount at a price for a unit, in minor units, to the nearest.

    Raises: as `of_receipt`.
    """
    per = cost_per["per"]
    conversions.in_ledger(per, stuff, "/cost_per/per")  # refuses bare ounces: two meanings
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
