"""Lay out what a job has still to cut from rolls, on the lots that are kept for it.

A need's pieces are over the roll's whole width, so each roll is cut across, one piece after
another. Which roll each piece is of is what is reserved: the same here as among the job's needs.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from typing import Any

from ...core.stock.reserving import Want
from ...store.products import Product
from ...store.stock import needs
from ...store.stock.jobs import Job
from ...store.stock.lots import Lot
from ..cure import authority
from ..stock import reserve
from ..stock.reserve import Reserved
from ..yard import moments


def job_cuts(job: Job, now: int) -> list[dict[str, Any]]:
    """For each roll product that the job has still to cut: its lots with their cuts, µm.

    Returns:
        Each `product`, `name`, `width` (None where the product has none), `rolls` (each `lot`,
        `number`, `container`, `length` that is cut, and `cuts`), and `short`: lengths that no
        roll in stock is kept for. A closed job cuts nothing more.

    Raises: AuthorityMissing: it is, or may be, structural and names no authority.
    """
    if job.closed_at is None:
        authority.check_cuts(job, now)
    rows = needs.of_job(job.id) if job.closed_at is None else []
    cloths = {row.product_id: row.product for row in rows if row.pieces is not None}
    today = moments.day_of(now)
    found = [_cloth(job, cloth, reserve.of_product(cloth, today)) for cloth in cloths.values()]
    return [each for each in found if each["rolls"] or each["short"]]


def _cloth(job: Job, cloth: Product, reserved: Reserved) -> dict[str, Any]:
    wants = [want for want in reserved.wants if want.job == job.id]
    kept: dict[int, list[int]] = defaultdict(list)
    for each in reserved.kept:
        if each.job == job.id:
            kept[each.lot].append(each.amount)
    return {
        "product": cloth.code,
        "name": cloth.name,
        "width": cloth.width_um,
        "rolls": [_roll(reserved.rows[lot], kept[lot], cloth.width_um) for lot in sorted(kept)],
        "short": _short(wants, kept),
    }


def _roll(lot: Lot, lengths: list[int], width: int | None) -> dict[str, Any]:
    cuts, start = [], 0
    for number, length in enumerate(lengths, start=1):
        cuts.append(
            {"ply": number, "name": "", "shape": "rectangular", "start": start, "edge": 0,
             "length": length, "width": width, "turned": False}
        )  # fmt: skip
        start += length
    return {
        "lot": lot.id,
        "number": lot.number,
        "container": lot.container,
        "on_hand": lot.on_hand,
        "length": start,
        "cuts": cuts,
    }


def _short(wants: list[Want], kept: dict[int, list[int]]) -> list[int]:
    """Lengths that are wanted and kept on no roll, the longest first."""
    left = Counter(part for want in wants for part in want.parts)
    left.subtract(length for lengths in kept.values() for length in lengths)
    return sorted(left.elements(), reverse=True)
