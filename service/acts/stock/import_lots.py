"""Import a row of stock: receive the container, or check that it was received like that."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from ...core.amounts.quantities import Given
from ...core.errors import AlreadyExists, Invalid, Refusals
from ...store.stock import lots
from ...store.stock.lines import Movement, receipt_of
from ...store.stock.lots import Lot
from ...store.yard.hands import Hand
from ..products.stuff import stuff_of
from ..yard import conversions, finding, settings
from ..yard.imports import Facts
from . import receipt_cost
from .change_lot import change_lot
from .lot_life import last_day
from .lot_name import name_of
from .receipt_cost import Said
from .receive import receive_lot

LATER = ("opened_on", "held", "hold_reason")
"""Facts of a row that are recorded after its delivery."""
MONEY = ("cost", "cost_per", "per", "currency")
"""Facts of a row that make up the cost of its delivery."""
AS_RECEIVED = ("made_on", "received_on")
"""Facts that never change once a lot is received, named as their columns are."""


def import_lot(facts: Facts, *, now: int, hand: Hand) -> str | None:
    """Receive a container, unless it was received before.

    Args:
        facts: as `receive_lot` takes them, and some of their own: `cost` and `cost_per` are
            plain amounts, with `currency` (else the yard's) and `per` beside them; `opened_on`,
            `held` and `hold_reason` are the lot's as of now; `expires_basis` tells how its last
            day is known.

    Returns:
        Its name and its quantity, if it was received; else None.

    Raises:
        AlreadyExists: it was received before, and differs from the row. As `receive_lot` and
        `change_lot`.
    """
    facts = _as_given(facts)
    product = finding.product(facts["product"], "/product")
    row = lots.find_container(product.id, facts["number"], facts.get("container") or "1")
    if row is None:
        return _receive(facts, now, hand)
    wrong = _differing(row, facts)
    if wrong:
        raise Refusals([_differs(row, name) for name in wrong])
    return None


def _as_given(facts: Facts) -> Facts:
    """A row without its last day, if that was only assumed when the table was written."""
    assumed = facts.get("expires_basis") == "received_on"
    left_out = ("expires_basis", "expires_on") if assumed else ("expires_basis",)
    return {name: value for name, value in facts.items() if name not in left_out}


def _receive(facts: Facts, now: int, hand: Hand) -> str:
    delivery = {name: value for name, value in facts.items() if name not in LATER + MONEY}
    delivery |= _money(facts)
    lot = receive_lot(**delivery, now=now, hand=hand)
    later: dict[str, Any] = {}
    if facts.get("opened_on"):
        later["opened_on"] = facts["opened_on"]
    if facts.get("held"):
        later |= {"held": True, "reason": facts.get("hold_reason")}
    row = finding.lot(lot.id)
    if later:
        change_lot(row, **later, now=now, hand=hand)
    return f"{name_of(row)}, {facts['quantity'].text}"


def _money(facts: Facts) -> dict[str, Said]:
    """The cost, or the price, of a row, as `receive_lot` takes it."""
    said = [name for name in ("cost", "cost_per") if facts.get(name) is not None]
    per = facts.get("per")
    if ("cost_per" in said) != (per is not None):
        raise Invalid(
            "A price needs an amount and a unit.",
            advice="Give both columns, 'cost per' and 'per', such as 4.60 and kg.",
            pointer="/per" if per is None else "/cost_per",
        )
    more: dict[str, Facts] = {"cost": {}, "cost_per": {"per": per}}
    currency = facts.get("currency") or (settings.show_yard().currency if said else None)
    return {name: {"amount": facts[name], "currency": currency, **more[name]} for name in said}


def _differing(row: Lot, facts: Facts) -> list[str]:
    """The names of those facts that differ from a lot both as received and as of now."""
    wrong = [name for name in AS_RECEIVED if facts.get(name) not in (None, getattr(row, name))]
    if facts.get("expires_on") not in (None, row.expires_on, last_day(row)):
        wrong.append("expires_on")
    came = receipt_of(row.id)
    wrong += _differing_money(row, came, _money(facts))
    if _amount(row, facts["quantity"]) not in {row.on_hand, came and came.amount}:
        wrong.append("quantity")
    return wrong


def _differing_money(row: Lot, came: Movement | None, money: Mapping[str, Said]) -> list[str]:
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
    return conversions.in_ledger(quantity, stuff_of(row.product), "/quantity")


def _differs(row: Lot, name: str) -> AlreadyExists:
    said = name.replace("_", " ")
    advice = "Correct the table, or give a further container its own container number."
    if name == "quantity":
        said = "amount"
        advice = "Leave the row out, and count the lot if the shelf says otherwise."
    return AlreadyExists(
        f"Lot {name_of(row)} was received before, with another {said}.",
        advice=advice,
        pointer=f"/{name}",
    )
