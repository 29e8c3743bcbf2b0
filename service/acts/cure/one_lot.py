"""One lot for one visible face: gel coat and colour of two lots may differ in shade.

Nobody records which face a layup shows on, so a whole job counts as one face, and it is a warning.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from ...core.products.materials import is_gel_coat
from ...store.cure import layups
from ...store.cure.layups import Layup
from ...store.cure.pots import Batch
from ...store.stock.jobs import Job
from ...store.stock.lines import lots_in_batches
from ...store.stock.lots import Lot

WHY = "use gel coat and colour of one lot on a face"
Numbers = dict[str, list[str]]
"""Product's code → the numbers of its lots, in order."""


def of_layup(row: Layup, pots: Sequence[Batch]) -> list[str]:
    """Words on lots that differ within a layup, or from other layups of its job."""
    drawn = lots_in_batches([pot.id for pot in pots])
    own = _numbers(drawn.values())
    told = [
        f"{code} of lots {' and '.join(numbers)} in one layup: {WHY}."
        for code, numbers in own.items()
        if len(numbers) > 1
    ]
    return told + _beside(own, row.job_id, row.id)


def of_pot(job: Job | None, lots: Sequence[Lot]) -> list[str]:
    """Words on lots of a pot that differ from those in the layups of its job."""
    return [] if job is None else _beside(_numbers([lots]), job.id, None)


def _beside(own: Numbers, job_id: int, layup_id: int | None) -> list[str]:
    """Words on other layups of a job with other lots of the same products."""
    if not own:
        return []
    rows = {row.id: row for row in layups.of_job(job_id) if row.id != layup_id}
    pots = layups.batch_ids_of(rows)
    drawn = lots_in_batches([pot for ids in pots.values() for pot in ids])
    told = []
    for layup, ids in pots.items():
        theirs = _numbers(drawn[pot] for pot in ids if pot in drawn)
        for code, numbers in own.items():
            others = [number for number in theirs.get(code, ()) if number not in numbers]
            if others:
                told.append(
                    f"{code} of lot {' and '.join(numbers)} here, of {' and '.join(others)} in "
                    f"layup {layup} ({rows[layup].title}): {WHY}."
                )
    return told


def _numbers(pots: Iterable[Iterable[Lot]]) -> Numbers:
    """The lots whose colour shows, of those drawn for each of some pots."""
    found: Numbers = {}
    for lots in pots:
        for lot in _shown(list(lots)):
            numbers = found.setdefault(lot.product.code, [])
            if lot.number not in numbers:
                numbers.append(lot.number)
    return found


def _shown(lots: list[Lot]) -> list[Lot]:
    """Of one pot: gel coat, colour, and the resin that the colour was stirred into."""
    coloured = any("pigments" in lot.product.effects.split() for lot in lots)
    return [
        lot
        for lot in lots
        if is_gel_coat(lot.product.role, lot.product.chemistry)
        or "pigments" in lot.product.effects.split()
        or (coloured and lot.product.role in ("resin", "coating"))
    ]
