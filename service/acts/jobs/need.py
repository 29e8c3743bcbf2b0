"""Add needs to a job; show the stock that is kept for each, and what is short."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Mapping, Sequence
from datetime import date
from typing import Annotated, Any

from ...core.amounts.quantities import LENGTH
from ...core.amounts.views import Code, Moment, Stock, View
from ...core.errors import AlreadyExists, AuthorityMissing, Invalid, UnknownReference
from ...core.frozen import frozen
from ...core.stock.reserving import Want, usable
from ...store.engine.database import writing
from ...store.products import Product
from ...store.stock import needs
from ...store.stock.jobs import Job
from ...store.stock.lines import last_line
from ...store.stock.lots import Lot
from ...store.stock.needs import Need
from ...store.yard.hands import Hand
from ..cure import authority
from ..products.stuff import kind_of
from ..stock import reserve
from ..stock.choose import amount_of
from ..stock.lot_life import last_day
from ..stock.reserve import Reserved
from ..yard import finding, moments, permissions

PIECES_MAX = 200
"""The most pieces of one need: more is a mistyped count."""

Wanted = Mapping[str, Any]
"""A `product` and a `quantity`, or for rolls `pieces` (each a `length` in µm and a `count`); `by`,
the day of use; `replaces`, the id of the need that it corrects: a quantity of nothing withdraws it.
"""


@frozen
class PieceView(View):
    """Pieces of one length."""

    length: Annotated[int, LENGTH]
    count: int


@frozen
class NeedLotView(View):
    """So much of a lot."""

    id: int
    number: Code
    container: str
    quantity: Stock
    expires_on: date | None


@frozen
class NeedView(View):
    """A need as of now."""

    id: int
    product: Code
    name: str
    quantity: Stock
    pieces: list[PieceView]
    by: date | None
    drawn: Stock
    reserved: Stock
    short: Stock
    lots: list[NeedLotView]
    out_of_date: list[NeedLotView]
    recorded_at: Moment
    who: str


@frozen
class NeedsView(View):
    """A job's needs."""

    job: Code
    needs: list[NeedView]


def add_needs(
    job: Job,
    *,
    wanted: Sequence[Wanted],
    now: int,
    hand: Hand,
    override: dict[str, str] | None = None,
) -> NeedsView:
    """Add needs to an open job, all or none; they reserve stock from then on.

    Args:
        override: a lead's `reason`, for structural work that names no authority.

    Raises:
        JobClosed, UnknownReference, NotAllowed. AlreadyExists: that need was replaced before.
        AuthorityMissing: more is needed, the job is structural and names no authority.
        Invalid: neither a quantity nor pieces; pieces of a product that is no roll.
    """
    with writing():
        job = finding.open_job(job.number, "/job")
        if not all(map(_withdraws, wanted)):
            _check_authority(job, override, now, hand)
        for number, each in enumerate(wanted):
            _add(job, each, f"/needs/{number}", now, hand)
        return show_needs(job, now)


def show_needs(job: Job, now: int) -> NeedsView:
    """A job's needs: the lots kept for each, what is short, and which lots will be out of date."""
    today = moments.day_of(now)
    rows = needs.of_job(job.id) if job.closed_at is None else []
    products = {row.product_id: row.product for row in rows}
    reserved = {key: reserve.of_product(product, today) for key, product in products.items()}
    return NeedsView(job.number, [_show(row, reserved[row.product_id]) for row in rows])


def roles(job: Job) -> dict[str, str]:
    """Code → role of each product that a job needs."""
    return {row.product.code: row.product.role for row in needs.of_job(job.id)}


def _withdraws(each: Wanted) -> bool:
    return "replaces" in each and "quantity" in each and each["quantity"].value == 0


def _check_authority(job: Job, override: dict[str, str] | None, now: int, hand: Hand) -> None:
    reason = authority.check_work(job, override, now, hand)
    if reason is not None:
        permissions.overridden(
            AuthorityMissing.slug,
            reason,
            f"needs of job {job.number}",
            now=now,
            hand=hand,
            job_id=job.id,
        )


def _add(job: Job, each: Wanted, pointer: str, now: int, hand: Hand) -> None:
    product = finding.product(each["product"], f"{pointer}/product")
    replaced = _replaced(job, product, each.get("replaces"), f"{pointer}/replaces")
    pieces = _pieces(product, each, pointer)
    amount = sum(length * count for length, count in pieces)
    if not pieces and (replaced is None or each["quantity"].value != 0):
        amount = amount_of(product, each["quantity"], f"{pointer}/quantity")
    by: date | None = each.get("by")
    needs.add(
        now=now,
        hand=hand,
        job_id=job.id,
        product_id=product.id,
        amount=amount,
        pieces=json.dumps(pieces) if pieces else None,
        by_on=by or (replaced.by_on if replaced else None),
        drawn_after=replaced.drawn_after if replaced else last_line(),
        replaces_id=replaced.id if replaced else None,
    )


def _pieces(product: Product, each: Wanted, pointer: str) -> list[tuple[int, int]]:
    """(length in µm, count) of each cut from a roll; a plain length of roll is one piece."""
    if ("quantity" in each) == ("pieces" in each):
        raise Invalid(
            "A need has either a quantity or pieces.",
            advice="Give a quantity, or for a roll pieces: each a length and a count.",
            pointer=f"{pointer}/quantity",
        )
    roll = product.measure == "length"
    if "quantity" in each:
        one_piece = roll and each["quantity"].value != 0
        if not one_piece:
            return []
        return [(amount_of(product, each["quantity"], f"{pointer}/quantity"), 1)]
    if not roll:
        raise Invalid(
            f"{product.code} is not a roll.",
            advice="Give a quantity instead of pieces.",
            pointer=f"{pointer}/pieces",
        )
    pieces = [(round(piece["length"]), piece["count"]) for piece in each["pieces"]]
    if sum(count for _, count in pieces) > PIECES_MAX:
        raise Invalid(
            f"That is more than {PIECES_MAX} pieces.", advice="Check the counts.",
            pointer=f"{pointer}/pieces",
        )  # fmt: skip
    return pieces


def _replaced(job: Job, product: Product, number: int | None, pointer: str) -> Need | None:
    if number is None:
        return None
    row = needs.find_need(number)
    if row is None or row.job_id != job.id or row.product_id != product.id:
        raise UnknownReference(
            f"Job {job.number} has no need {number} of {product.code}.",
            advice="List the job's needs to find its id.",
            pointer=pointer,
        )
    if needs.is_replaced(row.id):
        raise AlreadyExists(
            f"Need {number} was replaced before.",
            advice="List the job's needs, and replace the need that took its place.",
            pointer=pointer,
        )
    return row


def _show(row: Need, reserved: Reserved) -> NeedView:
    kind = kind_of(row.product)
    want = next(want for want in reserved.wants if want.need == row.id)
    kept = Counter[int]()
    for each in reserved.for_need(row.id):
        kept[each.lot] += each.amount
    return NeedView(
        id=row.id,
        product=row.product.code,
        name=row.product.name,
        quantity=(row.amount, kind),
        pieces=[PieceView(length, count) for length, count in needs.pieces_of(row)],
        by=want.by,
        drawn=(row.amount - want.amount, kind),
        reserved=(kept.total(), kind),
        short=(want.short(kept.total()), kind),
        lots=[_lot(reserved.rows[lot], amount) for lot, amount in kept.items()],
        out_of_date=[_lot(lot, lot.on_hand) for lot in _late(want, reserved)],
        recorded_at=row.recorded_at,
        who=row.who,
    )


def _late(want: Want, reserved: Reserved) -> list[Lot]:
    """Lots in stock that are out of date on the day of use; none once the need is drawn in full."""
    if not want.amount:
        return []
    late = [lot for lot in reserved.lots if not usable(lot, want, reserved.today)]
    return [reserved.rows[lot.id] for lot in late]


def _lot(row: Lot, amount: int) -> NeedLotView:
    quantity = (amount, kind_of(row.product))
    return NeedLotView(row.id, row.number, row.container, quantity, last_day(row))
