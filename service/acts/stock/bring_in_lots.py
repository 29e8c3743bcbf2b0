"""Bring in a row of stock: a container that is received now, or was before."""

from __future__ import annotations

from typing import Any

from ...core.amounts.quantities import Given
from ...core.errors import AlreadyExists, Invalid, Refusals
from ...store.stock import lots as shelf
from ...store.stock.lines import Movement, receipt_of
from ...store.stock.lots import Lot
from ...store.yard.hands import Hand
from ..products.product import stuff_of
from ..yard import conversions as units
from ..yard import finding
from ..yard import settings as yard
from . import change_lot, receipt_cost
from . import lot as lot_life
from . import receive as receive_lot

LATER = ("opened_on", "held", "hold_reason")
MONEY = ("cost", "cost_per", "per", "currency")
"""Facts of a row that a delivery has not, and that are recorded after it."""
AS_RECEIVED = ("made_on", "received_on")
"""Facts that never change once a lot is received, and stand in columns of their own."""


def bring_in_lot(facts: dict[str, Any], *, now: int, hand: Hand) -> str | None:
    """Receive a container, unless it was received before.

    Args:
        facts: as `receive_lot.receive_lot` takes them, but `cost` and `cost_per` are plain
            amounts with `currency` (else the yard's) and `per` beside them; `opened_on`, `held` and
            `hold_reason` as it stands, and `expires_basis`, what its last day rests on.

    Returns:
        Its name and what is in it if it was received.

    Raises:
        AlreadyExists: it was received before, and not as the row says. As
        `receive_lot.receive_lot` and `change_lot.change_lot`.
    """
    facts = _as_given(facts)
    product = finding.product(facts["product"], "/product")
    row = shelf.find_container(product.id, facts["number"], facts.get("container") or "1")
    if row is None:
        return _receive(facts, now, hand)
    wrong = _differing(row, facts)
    if wrong:
        raise Refusals([_differs(row, name, facts) for name in wrong])
    return None


def _as_given(facts: dict[str, Any]) -> dict[str, Any]:
    """A row without a last day that nobody gave: it was assumed when the table was written."""
    assumed = facts.get("expires_basis") == "received_on"
    left_out = ("expires_basis", "expires_on") if assumed else ("expires_basis",)
    return {name: value for name, value in facts.items() if name not in left_out}


def _receive(facts: dict[str, Any], now: int, hand: Hand) -> str:
    delivery = {name: value for name, value in facts.items() if name not in LATER + MONEY}
    delivery |= _money(facts)
    lot = receive_lot.receive_lot(**delivery, now=now, hand=hand)
    later: dict[str, Any] = {}
    if facts.get("opened_on"):
        later["opened_on"] = facts["opened_on"]
    if facts.get("held"):
        later |= {"held": True, "reason": facts.get("hold_reason")}
    row = finding.lot(lot.id)
    if later:
        change_lot.change_lot(row, **later, now=now, hand=hand)
    return f"{lot_life.name_of(row)}, {facts['quantity'].text}"


def _money(facts: dict[str, Any]) -> dict[str, Any]:
    """The cost, or the price, of a row as `receive_lot.receive_lot` takes it."""
    said = [name for name in ("cost", "cost_per") if facts.get(name) is not None]
    per = facts.get("per")
    if ("cost_per" in said) != (per is not None):
        raise Invalid(
            "A price is an amount for a unit.",
            advice="Give both columns, 'cost per' and 'per', such as 4.60 and kg.",
            pointer="/per" if per is None else "/cost_per",
        )
    more = {"cost": {}, "cost_per": {"per": per}}
    currency = facts.get("currency") or (yard.show_yard().currency if said else None)
    return {name: {"amount": facts[name], "currency": currency, **more[name]} for name in said}


def _differing(row: Lot, facts: dict[str, Any]) -> list[str]:
    """The facts in which a lot neither was received as a row says, nor stands so now."""
    wrong = [name for name in AS_RECEIVED if facts.get(name) not in (None, getattr(row, name))]
    if facts.get("expires_on") not in (None, row.expires_on, lot_life.last_day(row)):
        wrong.append("expires_on")
    came = receipt_of(row.id)
    wrong += _differing_money(row, came, _money(facts))
    if _amount(row, facts["quantity"]) not in {row.on_hand, came and came.amount}:
        wrong.append("quantity")
    return wrong


def _differing_money(row: Lot, came: Movement | None, money: dict[str, Any]) -> list[str]:
    wrong = []
    costs = {row.cost_minor, came and came.cost_minor}
    for name, said in money.items():
        minor = said["amount"] * 100
        if name == "cost_per":
            received = came.amount if came else row.on_hand
            minor = receipt_cost.of_price(received, stuff_of(row.product), said)
        if minor not in costs:
            wrong.append(name)
        if said["currency"] not in {row.currency, came and came.currency}:
            wrong.append("currency")
    return wrong


def _amount(row: Lot, quantity: Given) -> int:
    return units.in_ledger(quantity, stuff_of(row.product), "/quantity")


def _differs(row: Lot, name: str, facts: dict[str, Any]) -> AlreadyExists:
    said = name.replace("_", " ")
    advice = "Correct the table, or give a further container its own container number."
    if name == "quantity":
        said = "amount"
        advice = "Leave the row out, and count the lot if the shelf says otherwise."
    return AlreadyExists(
        f"Lot {lot_life.name_of(row)} was received before, with another {said}.",
        advice=advice,
        pointer=f"/{name}",
    )
