"""Receive a delivery: one container becomes one lot, with its dates and its cost."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

from ...core.amounts.quantities import Given
from ...core.errors import AlreadyExists, Invalid
from ...core.products.hazards import FEARED_BY_PEROXIDE
from ...core.words import Text
from ...store.bays import Bay
from ...store.engine.database import writing
from ...store.products import Product
from ...store.stock import ledger, lots
from ...store.stock.lots import Lot
from ...store.yard.hands import Hand
from ..products.nature import natures_of
from ..products.stuff import stuff_of
from ..yard import conversions, finding, moments
from . import lot_dates, receipt_cost
from .lot import LotView, LotWithWarningsView, show_lot
from .lot_history import record
from .receipt_cost import Cost, Said


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
    at: int | None = None,
    bay: str | None = None,
    cost: Said | None = None,
    cost_per: Said | None = None,
    supplier: str | None = None,
) -> LotWithWarningsView:
    """Receive one container. An expired one is recorded too, with a warning.

    Args:
        received_on, at: a day, whose beginning is meant, or a moment in epoch s; now if both are
            None. The lot stands in its bay from then on.
        cost, cost_per: as for `receipt_cost.of_receipt`.

    Raises:
        AlreadyExists: that container was received before.
        Invalid: nothing in it, contradicting dates, or no date where the yard's rules need one.
        UnknownReference: no such product or bay.
        NotAllowed: only a lead records what came more than 30 days ago.
    """
    with writing():
        what = finding.product(product, "/product")
        its_bay = finding.bay(bay, "/bay") if bay else None
        amount = conversions.in_ledger(quantity, stuff_of(what), "/quantity")
        paid = receipt_cost.of_receipt(amount, stuff_of(what), cost, cost_per)
        came, received_on = _came(received_on, at, now, hand)
        _check(amount, made_on, expires_on, received_on, moments.day_of(now))
        lot = lots.add(
            number,
            product_id=what.id,
            container=_container(what, number, container),
            received_at=came,
            received_on=received_on,
            made_on=made_on,
            expires_on=expires_on,
            bay_id=its_bay.id if its_bay else None,
            supplier=supplier or what.supplier,
        )
        if its_bay is not None:
            record(lot, "moved", now, hand, at=came, bay_id=its_bay.id)
        _post(lot, amount, quantity, paid, at=came, now=now, hand=hand)
        shown = show_lot(finding.lot(lot.id), now)
        lot_dates.check_given(what.code, shown.expires_note)
        return replace(shown, warnings=_warnings(shown, what, its_bay))


def _post(
    lot: Lot, amount: int, quantity: Given, paid: Cost | None, *, at: int, now: int, hand: Hand
) -> None:
    """Write the receipt into the ledger."""
    cost_minor, currency = paid or (None, None)
    ledger.post(
        lot.id,
        "receipt",
        amount,
        at=at,
        now=now,
        hand=hand,
        typed=quantity.text,
        density_mg_l=lot.product.density_mg_l,
        cost_minor=cost_minor,
        currency=currency,
    )


def _came(received_on: date | None, at: int | None, now: int, hand: Hand) -> tuple[int, date]:
    """The moment of a delivery, epoch s, and its day in the yard.

    Raises: as `receive_lot`.
    """
    if at is not None:
        at = moments.happened(at, now, "/at", by=hand)
        day = moments.day_of(at)
        if received_on not in (None, day):
            raise Invalid(
                f"The lot came on {received_on}, but at a moment on {day}.",
                advice="Give one of the two, or make them agree.",
                pointer="/at",
            )
        return at, day
    today = moments.day_of(now)
    if received_on is None or received_on >= today:
        return now, received_on or today
    if today - received_on > timedelta(seconds=moments.BACK_MAX_S):
        hand.must_be("lead", "To record a delivery of more than 30 days ago")
    return moments.start_of(received_on), received_on


def _check(
    amount: int, made_on: date | None, expires_on: date | None, received_on: date, today: date
) -> None:
    if amount <= 0:
        raise Invalid(
            "The delivered amount is zero.",
            advice="Give what is in the container.",
            pointer="/quantity",
        )
    if received_on > today:
        raise Invalid(
            f"{received_on} is in the future.", advice="Check the date.", pointer="/received_on"
        )
    lot_dates.check_order(made_on, expires_on, received_on)


def _container(product: Product, number: str, asked: str | None) -> str:
    """The name of a container, which must be new.

    Raises: AlreadyExists.
    """
    container = asked or "1"
    if lots.find_container(product.id, number, container) is None:
        return container
    raise AlreadyExists(
        f"Container {container} of lot {number} of {product.code} was received before.",
        advice="For a further container of that lot, give it its own container number.",
        pointer="/container" if asked else "/number",
    )


def _warnings(shown: LotView, product: Product, bay: Bay | None) -> list[Text]:
    warnings: list[Text] = []
    if shown.state == "expired":
        warnings.append(f"Out of date since {shown.expires_on}: it can't be drawn.")
    elif shown.state == "soon":
        warnings.append(f"Soon out of date: good until {shown.expires_on}.")
    warnings += lot_dates.asking(shown.expires_note)
    if shown.expires_basis == "stated":
        warnings += lot_dates.doubt(shown.made_on, shown.expires_on, product.shelf_life_s)
    if bay is not None:
        warnings += company_warnings(product, bay)
    return warnings


def company_warnings(product: Product, bay: Bay) -> list[str]:
    """The warning about a peroxide in one bay with promoter or acetone (TM 38-410)."""
    own = natures_of(product)
    if not own & {"peroxide", *FEARED_BY_PEROXIDE}:
        return []
    there = {nature for lot in lots.hazardous(bay.id) for nature in natures_of(lot.product)}
    enemies = sorted(there & FEARED_BY_PEROXIDE) if "peroxide" in own else []
    if own & FEARED_BY_PEROXIDE and "peroxide" in there:
        enemies.append("peroxide")
    return [
        f"{bay.code} holds {enemy} too: peroxide is never stored in one bay with promoter "
        "or acetone. Move one of them now."
        for enemy in enemies[:1]
    ]
