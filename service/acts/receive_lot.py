"""Receive a delivery: one container becomes one lot, with its dates and its cost."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from ..core.errors import AlreadyExists, Invalid
from ..core.materials import ledger_amount
from ..core.quantities import Given
from ..store import ledger, shelf, tables
from ..store.database import writing
from ..store.hands import Hand
from ..store.lookup import key_of
from . import finding, lot_life, moments
from .add_product import stuff_of
from .lot_history import record


def receive_lot(
    *,
    product: str,
    number: str,
    quantity: Given,
    now: int,
    hand: Hand,
    container: str | None = None,
    made_on: date | None = None,
    expires_on: date | None = None,
    received_on: date | None = None,
    bay: str | None = None,
    cost: dict[str, Any] | None = None,
    supplier: str | None = None,
) -> dict[str, Any]:
    """Receive one container. An expired one is recorded too, and says so.

    Args:
        quantity: what is in it. cost: `amount` of the whole container and `currency`.

    Raises:
        AlreadyExists: that container was received before.
        Invalid: nothing in it, or dates that can't be.
        UnknownReference: no such product or bay.
        NotAllowed: it came more than 30 days ago, by a hand.
    """
    with writing():
        what = finding.product(product, "/product")
        place = finding.bay(bay, "/bay") if bay else None
        amount = ledger_amount(quantity, stuff_of(what))
        received_on = received_on or moments.day_of(now)
        if moments.day_of(now) - received_on > timedelta(seconds=moments.BACK_MAX_S):
            hand.must_be("lead", "What came more than 30 days back")
        _check(amount, made_on, expires_on, received_on, moments.day_of(now))
        lot = tables.Lot.create(
            product=what,
            number=number,
            number_key=key_of(number),
            container=_container(what, number, container),
            received_at=now,
            received_on=received_on,
            made_on=made_on,
            expires_on=expires_on,
            bay=place,
            supplier=supplier or what.supplier,
        )
        if place is not None:
            record(lot, "moved", now, hand, bay=place.id)
        ledger.post(
            lot.id,
            "receipt",
            amount,
            at=now,
            now=now,
            hand=hand,
            typed=quantity.text,
            density_mg_l=what.density_mg_l,
            cost_minor=None if cost is None else _hundredths(cost["amount"]),
            currency=None if cost is None else cost["currency"],
        )
        shown = lot_life.show_lot(finding.lot(lot.id), now)
        return {**shown, "warnings": _warnings(shown, what, place)}


def _check(
    amount: int, made_on: date | None, expires_on: date | None, received_on: date, today: date
) -> None:
    if amount <= 0:
        raise Invalid(
            "A delivery of nothing.", advice="Give what is in the container.", pointer="/quantity"
        )
    if received_on > today:
        raise Invalid(
            f"{received_on} is still to come.", advice="Check the date.", pointer="/received_on"
        )
    if made_on and made_on > received_on:
        raise Invalid(
            "It can't be received before it was made.",
            advice="Check both dates.",
            pointer="/made_on",
        )
    if made_on and expires_on and expires_on < made_on:
        raise Invalid(
            "It can't expire before it was made.", advice="Check both dates.", pointer="/expires_on"
        )


def _container(product: tables.Product, number: str, asked: str | None) -> str:
    container = asked or "1"
    if shelf.find_container(product.id, number, container) is None:
        return container
    raise AlreadyExists(
        f"Container {container} of lot {number} of {product.code} was received before.",
        advice="For a further container of that lot, give it its own container number.",
        pointer="/container" if asked else "/number",
    )


def _hundredths(amount: Decimal) -> int:
    minor = amount * 100
    if minor != minor.to_integral_value():
        raise Invalid(
            "A cost has at most two decimal places.", advice="Round it.", pointer="/cost/amount"
        )
    return int(minor)


def _warnings(
    shown: dict[str, Any], product: tables.Product, place: tables.Bay | None
) -> list[str]:
    warnings = []
    if shown["state"] == "expired":
        warnings.append(f"Out of date since {shown['expires_on']}: it can't be drawn.")
    elif shown["state"] == "soon":
        warnings.append(f"In the last quarter of its life: good until {shown['expires_on']}.")
    if place is not None:
        warnings += company_warnings(product, place)
    return warnings


def company_warnings(product: tables.Product, place: tables.Bay) -> list[str]:
    """The warning for a peroxide and a promoter that stand in one place (TM 38-410)."""
    enemy = {"catalyst": "promoter", "promoter": "catalyst"}.get(product.role)
    if enemy is None or not shelf.stocks_role(place.id, enemy):
        return []
    return [
        f"{place.code} holds a {enemy} too: peroxide and promoter are never stored in one "
        "place. Move one of them now."
    ]
