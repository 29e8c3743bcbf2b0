"""Say what a job will take, and tell what is kept for it, and what is short."""

from __future__ import annotations

import json
from collections import Counter
from datetime import date
from typing import Any

from ...core.errors import AlreadyExists, AuthorityMissing, Invalid, UnknownReference
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
from ..products.product import kind_of
from ..stock import lot as lot_life
from ..stock import reserve
from ..stock.draw import amount_of
from ..stock.reserve import Reserved
from ..yard import finding, moments
from ..yard import permissions as leave

PIECES_MAX = 200
"""The most pieces of one need: more is a mistyped count."""


def add_needs(
    job: Job,
    *,
    wanted: list[dict[str, Any]],
    now: int,
    hand: Hand,
    override: dict[str, str] | None = None,
) -> dict[str, Any]:
    """Add needs to an open job, all or none; they reserve stock from then on.

    Args:
        wanted: each a `product` and a `quantity`, or for rolls `pieces` (each a `length` in µm
            and a `count`); `by`, the day of use; `replaces`, the id of a need that it corrects,
            which a quantity of nothing withdraws.
        override: a `reason` of a lead's for structural work that names no authority.

    Raises:
        JobClosed, UnknownReference, NotAllowed. AlreadyExists: that need was replaced before.
        AuthorityMissing: more is needed, the job is structural and names no authority.
        Invalid: neither a quantity nor pieces; pieces of what is no roll.
    """
    with writing():
        job = finding.open_job(job.number, "/job")
        if not all(map(_withdraws, wanted)):
            _check_authority(job, override, now, hand)
        for number, each in enumerate(wanted):
            _add(job, each, f"/needs/{number}", now, hand)
        return show_needs(job, now)


def show_needs(job: Job, now: int) -> dict[str, Any]:
    """A job's needs: what is kept for each, what is short, and what will be out of date."""
    today = moments.day_of(now)
    rows = needs.of_job(job.id) if job.closed_at is None else []
    products = {row.product_id: row.product for row in rows}
    reserved = {key: reserve.of_product(product, today) for key, product in products.items()}
    return {
        "job": job.number,
        "needs": [_show(row, reserved[row.product_id]) for row in rows],
    }


def _withdraws(each: dict[str, Any]) -> bool:
    return "replaces" in each and "quantity" in each and each["quantity"].value == 0


def _check_authority(job: Job, override: dict[str, str] | None, now: int, hand: Hand) -> None:
    reason = authority.check_work(job, override, now, hand)
    if reason is not None:
        leave.overridden(
            AuthorityMissing.slug,
            reason,
            f"needs of job {job.number}",
            now=now,
            hand=hand,
            job_id=job.id,
        )


def _add(job: Job, each: dict[str, Any], pointer: str, now: int, hand: Hand) -> None:
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


def _pieces(product: Product, each: dict[str, Any], pointer: str) -> list[tuple[int, int]]:
    """(length, count) of what is cut from rolls; a plain length of roll is one piece."""
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
            advice="Replace the need that replaced it: list the job's needs to find its id.",
            pointer=pointer,
        )
    return row


def _show(row: Need, reserved: Reserved) -> dict[str, Any]:
    kind = kind_of(row.product)
    want = next(want for want in reserved.wants if want.need == row.id)
    kept = Counter[int]()
    for each in reserved.for_need(row.id):
        kept[each.lot] += each.amount
    return {
        "id": row.id,
        "product": row.product.code,
        "name": row.product.name,
        "quantity": (row.amount, kind),
        "pieces": [{"length": length, "count": n} for length, n in needs.pieces_of(row)],
        "by": want.by,
        "drawn": (row.amount - want.amount, kind),
        "reserved": (kept.total(), kind),
        "short": (want.short(kept.total()), kind),
        "lots": [_lot(reserved.rows[lot], amount) for lot, amount in kept.items()],
        "out_of_date": [_lot(row, row.on_hand) for row in _late(want, reserved)],
        "recorded_at": row.recorded_at,
        "who": row.who,
    }


def _late(want: Want, reserved: Reserved) -> list[Lot]:
    """Lots that are there, and out of date on the day of use; told while the need is open."""
    if not want.amount:
        return []
    late = [lot for lot in reserved.lots if not usable(lot, want, reserved.today)]
    return [reserved.rows[lot.id] for lot in late]


def _lot(row: Lot, amount: int) -> dict[str, Any]:
    return {
        "id": row.id,
        "number": row.number,
        "container": row.container,
        "quantity": (amount, kind_of(row.product)),
        "expires_on": lot_life.last_day(row),
    }
