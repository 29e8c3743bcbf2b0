"""Return stock that a job did not use: into its container, or as an offcut, a lot of its own."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from itertools import count

from ...core.amounts import sentences
from ...core.amounts.quantities import Given
from ...core.amounts.sentences import stock
from ...core.errors import Invalid
from ...core.estimates import offcuts
from ...core.words import Text, say
from ...store.engine.database import writing
from ...store.engine.turns import Turn
from ...store.products import Product
from ...store.stock import ledger, lots
from ...store.stock.jobs import Job
from ...store.stock.lines import drawn_of
from ...store.stock.lots import Lot
from ...store.yard.hands import Hand
from ..products.stuff import measure_of, stuff_of
from ..yard import conversions, finding, moments
from . import remainders
from .movement import MovedView, moved

_ROLL_SLACK = 5000
"""The accuracy of a tape along a roll's length and width, µm (common practice, no source)."""


def return_stock(
    *,
    quantity: Given,
    job: str,
    now: int,
    hand: Hand,
    lot: int | None = None,
    product: str | None = None,
    at: int | None = None,
    reason: str | None = None,
    size: Mapping[str, Decimal] | None = None,
) -> MovedView:
    """Return an amount that a job drew and did not use; the job may be closed.

    A piece of roll or sheet becomes a lot of its own, with its sizes, and with the lot that it
    was cut from as its parent.

    Args:
        quantity: of a piece of sheet, its share of a whole sheet. With sizes, one whole piece
            means the share that they are of the product's sheet.
        lot: the lot that it came from; or product: the lot that the job last drew it from.
        size: length and width of a piece of sheet, µm.

    Raises:
        Invalid: more than the job drew, or not what the sizes are. UnknownReference.
    """
    with writing(Turn.BESIDE):
        work = finding.job(job, "/job")  # closed or not: left-overs are often found late
        finding.refuse_signed(work)
        source = _source(work, lot, product)
        amount = conversions.in_ledger(quantity, stuff_of(source.product), "/quantity")
        if size is not None:
            amount = _sized(source.product, amount, size)
        drawn = drawn_of(work.id, source.id)
        amount = remainders.back(source, drawn, amount)
        _check(amount, drawn, source, work)
        at = moments.happened(at, now, "/at", by=hand)
        into = source if source.product.measure == "mass" else _piece(source, amount, size, at)
        worth = None if into is source else ledger.worth_back(source, amount)
        movement = ledger.post(
            into.id,
            "return",
            amount,
            at=at,
            now=now,
            hand=hand,
            job=work.id,
            reason=reason,
            typed=quantity.text,
            density_mg_l=source.product.density_mg_l,
            cost_minor=worth,
            currency=None if worth is None else source.currency,
        )
        return moved([movement])


def _source(work: Job, lot: int | None, product: str | None) -> Lot:
    if (lot is None) == (product is None):
        raise Invalid("Name either a lot or a product.", advice="Leave the other out.")
    if lot is not None:
        return finding.lot_to_change(lot, "/lot")
    what = finding.product(product or "", "/product")
    last = lots.last_lot_drawn(work.id, what.id)
    if last is None:
        raise Invalid(
            f"Job {work.number} drew no {what.code}.",
            advice="Check the job, or receive it as a delivery.",
            pointer="/product",
        )
    return finding.lot_to_change(last.id)


def _sized(product: Product, amount: int, size: Mapping[str, Decimal]) -> int:
    """The amount of a piece with sizes: of a sheet its share by area, of a roll its length.

    Raises:
        Invalid: the amount given is neither that nor one whole piece.
    """
    if product.measure == "length":
        _check_roll(product, amount, size)
    if product.measure != "count" or not product.length_um or not product.width_um:
        return amount
    sides = (float(size["length"]), float(size["width"]))
    share = offcuts.share(sides, (product.length_um, product.width_um))
    whole = _by(product.length_um, product.width_um)
    sheet = say("a sheet of {}, {}", product.code, whole)
    if share > offcuts.PIECE + offcuts.ROUNDING:
        raise Invalid(
            say("{} is more than {}.", _by(*sides), sheet),
            advice="Correct the sizes.",
            pointer="/size",
        )
    if abs(share - amount) <= offcuts.ROUNDING:
        return amount
    if amount == offcuts.PIECE:
        return share
    raise Invalid(
        say(
            "{} is {} of {}, not {}.",
            _by(*sides),
            f"{share / 1000:g}",
            sheet,
            stock(amount, "count"),
        ),
        advice=say(
            "Give {}, or correct the sizes. Bring back one piece at a time.", stock(share, "count")
        ),
        pointer="/quantity",
    )


def _check_roll(product: Product, amount: int, size: Mapping[str, Decimal]) -> None:
    """Refuse a strip: a piece of roll is kept as a length over the roll's whole width."""
    width = product.width_um or size["width"]
    if max(abs(size["length"] - amount), abs(size["width"] - width)) < _ROLL_SLACK:
        return
    raise Invalid(
        say(
            "A piece of {} is kept over the roll's whole width, and its quantity is its length; "
            "the sizes are {}.",
            product.code,
            _by(size["length"], size["width"]),
        ),
        advice="Leave the sizes out for a piece of the whole width; a strip is not brought back.",
        pointer="/size",
    )


def _by(length: Decimal | float, width: Decimal | float) -> Text:
    return say("{} × {}", sentences.size(float(length)), sentences.size(float(width)))


def _check(amount: int, drawn: int, source: Lot, work: Job) -> None:
    if amount <= 0:
        raise Invalid("The returned amount is zero.", advice="Give an amount.", pointer="/quantity")
    if amount > drawn:
        raise Invalid(
            say(
                "Job {} did not draw so much of lot {}: it has {} of it.",
                work.number,
                source.number,
                stock(drawn, measure_of(source.product)),
            ),
            advice="Return at most what was drawn; count the lot if there is more of it.",
            pointer="/quantity",
        )


def _piece(source: Lot, amount: int, size: Mapping[str, Decimal] | None, at: int) -> Lot:
    """A new lot for a piece: it has the number, the dates and the bay of the lot it came from."""
    product = source.product
    is_roll = product.measure == "length"
    sizes = size or {}
    return lots.add(
        source.number,
        product_id=product.id,
        container=_free_container(source),
        received_at=at,
        received_on=source.received_on,
        made_on=source.made_on,
        expires_on=source.expires_on,
        opened_on=source.opened_on,
        bay_id=source.bay_id,
        parent_id=source.id,
        length_um=amount if is_roll else conversions.nearest(sizes.get("length")),
        width_um=product.width_um if is_roll else conversions.nearest(sizes.get("width")),
        supplier=source.supplier,
    )


def _free_container(source: Lot) -> str:
    """The next free name for a piece of a container, such as 2.1."""
    names = (f"{source.container}.{number}" for number in count(1))
    return next(
        name
        for name in names
        if lots.find_container(source.product_id, source.number, name) is None
    )
