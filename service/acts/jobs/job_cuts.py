"""Lay out the pieces that a job has still to cut, on the rolls that are kept for it.

A need's pieces are over the roll's whole width, so each roll is cut across, one piece after
another. The roll that each piece comes from is the one that is reserved for it.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from itertools import accumulate
from typing import Annotated

from ...core.amounts.quantities import LENGTH
from ...core.amounts.views import Code, View
from ...core.frozen import frozen
from ...core.stock.reserving import Want
from ...store.products import Product
from ...store.stock import needs
from ...store.stock.jobs import Job
from ...store.stock.lots import Lot
from ..cure import authority
from ..stock import reserve
from ..stock.reserve import Reserved
from ..yard import moments


@frozen
class CutView(View):
    """One cut over a roll's whole width; `start` is its distance from the roll's end."""

    number: int
    start: Annotated[int, LENGTH]
    length: Annotated[int, LENGTH]


@frozen
class RollCutsView(View):
    """A roll, the length that is cut from it, and its cuts."""

    lot: int
    number: Code
    container: str
    on_hand: Annotated[int, LENGTH]
    length: Annotated[int, LENGTH]
    cuts: list[CutView]


@frozen
class ClothCutsView(View):
    """A product with the rolls that are kept for a job; `short`: lengths that none is kept for."""

    product: Code
    name: str
    width: Annotated[int, LENGTH] | None
    rolls: list[RollCutsView]
    short: list[Annotated[int, LENGTH]]


def job_cuts(job: Job, now: int) -> list[ClothCutsView]:
    """The cuts of each roll product that the job has still to cut; none once it is closed.

    Raises: AuthorityMissing: the job is, or may be, structural and names no authority.
    """
    if job.closed_at is None:
        authority.check_cuts(job, now)
    rows = needs.of_job(job.id) if job.closed_at is None else []
    cloths = {row.product_id: row.product for row in rows if row.pieces is not None}
    today = moments.day_of(now)
    found = [_cloth(job, cloth, reserve.of_product(cloth, today)) for cloth in cloths.values()]
    return [each for each in found if each.rolls or each.short]


def _cloth(job: Job, cloth: Product, reserved: Reserved) -> ClothCutsView:
    wants = [want for want in reserved.wants if want.job == job.id]
    kept: dict[int, list[int]] = defaultdict(list)
    for each in reserved.kept:
        if each.job == job.id:
            kept[each.lot].append(each.amount)
    return ClothCutsView(
        product=cloth.code,
        name=cloth.name,
        width=cloth.width_um,
        rolls=[_roll(reserved.rows[lot], kept[lot]) for lot in sorted(kept)],
        short=_short(wants, kept),
    )


def _roll(lot: Lot, lengths: list[int]) -> RollCutsView:
    starts = list(accumulate(lengths, initial=0))
    return RollCutsView(
        lot=lot.id,
        number=lot.number,
        container=lot.container,
        on_hand=lot.on_hand,
        length=starts[-1],
        cuts=[
            CutView(number, start, length)
            for number, (start, length) in enumerate(zip(starts, lengths, strict=False), 1)
        ],
    )


def _short(wants: list[Want], kept: dict[int, list[int]]) -> list[int]:
    """Lengths that are needed and that no roll is kept for, the longest first."""
    left = Counter(part for want in wants for part in want.parts)
    left.subtract(length for lengths in kept.values() for length in lengths)
    return sorted(left.elements(), reverse=True)
