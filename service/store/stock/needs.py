"""Needs that stand, and what their jobs have drawn since they were said."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import Any

from peewee import fn

from ...core.stock.remainder import allowance
from ...core.stock.reserving import Want, cut_down, still_wanted
from .. import plan as plans
from ..engine.queries import compiled
from ..tables import Job, Lot, Movement, Need, Product
from .standing import standing

Pair = tuple[int, int]
"""Ids of a job and of a product."""
Days = tuple[date | None, date | None]
"""The first and the last day of something."""


def of_job(job_id: int) -> list[Need]:
    """A job's needs as they stand, the job open or closed, in the order first said."""
    return list(_standing().where(Need.job == job_id).order_by(Need.drawn_after, Need.id))


def of_open_jobs(product_id: int | None = None) -> list[Need]:
    """The needs of every open job, of one product or of all, in the order first said.

    A closed job needs nothing more: its needs are released by that alone.
    """
    return _of_open_jobs() if product_id is None else _of_open_jobs_for(product_id)


@compiled
def _of_open_jobs() -> Any:
    return _standing().where(_open_job()).order_by(Need.drawn_after, Need.id)


@compiled
def _of_open_jobs_for(product_id: Any) -> Any:
    rows = _standing().where(_open_job(), Need.product == product_id)
    return rows.order_by(Need.drawn_after, Need.id)


def _open_job() -> Any:
    """By the open jobs' ids: as a join, SQLite reads the needs of years first."""
    return Need.job.in_(Job.select(Job.id).where(Job.closed_at.is_null()))


def _standing() -> Any:
    later: Any = Need.alias()
    replaced = later.select().where(later.replaces == Need.id)
    return Need.select().where(Need.amount > 0, ~fn.EXISTS(replaced))


def is_replaced(need_id: int) -> bool:
    """Whether a later need took a need's place."""
    return bool(Need.select().where(Need.replaces == need_id).exists())


def last_line() -> int:
    """The id of the ledger's last line; 0 when it has none."""
    return int(Movement.select(fn.MAX(Movement.id)).scalar() or 0)


def wants(rows: Iterable[Need]) -> list[Want]:
    """What each of some needs has still to take: all of a job's needs of a product together.

    The need that is due first is filled first; one without a day is due when the plan lays it.
    """
    together: dict[Pair, list[Need]] = {}
    for row in rows:
        together.setdefault((row.job_id, row.product_id), []).append(row)
    if not together:
        return []
    drawn, planned = _net_drawn(together), plans.days_of({job for job, _ in together})
    return [
        want
        for pair, group in together.items()
        for want in _wants(group, drawn.get(pair, []), _days(planned, pair))
    ]


def _wants(group: Sequence[Need], drawn: Sequence[tuple[int, int]], planned: Days) -> list[Want]:
    starts = [row.drawn_after for row in group]
    ends = [*starts[1:], None]
    steps = [
        (row.amount, sum(n for line, n in drawn if line > row.drawn_after and not _past(line, end)))
        for row, end in zip(group, ends, strict=True)
    ]
    filled = sum(row.amount for row in group) - still_wanted(steps)
    found = []
    spare = allowance(filled, len(drawn))
    for row in sorted(group, key=lambda row: (row.by_on or planned[0] or date.max, row.id)):
        done = row.amount if filled <= row.amount <= filled + spare else min(filled, row.amount)
        filled = max(filled - done, 0)
        found.append(_want(row, done, planned))
    return found


def _days(planned: Mapping[Pair, tuple[date, date]], pair: Pair) -> Days:
    return planned.get(pair) or planned.get((pair[0], plans.ANY)) or (None, None)


def _past(line: int, end: int | None) -> bool:
    return end is not None and line > end


def _want(row: Need, done: int, planned: Days) -> Want:
    """What is left of a need, on the days that were said, else as its job's plan has them."""
    first, last = planned if row.by_on is None else (row.by_on, row.by_on)
    if row.pieces is None:
        parts = (row.amount - done,) if done < row.amount else ()
        return Want(row.id, row.job_id, parts, by=first, until=last)
    lengths = [length for length, count in pieces_of(row) for _ in range(count)]
    return Want(row.id, row.job_id, cut_down(lengths, done), whole=True, by=first, until=last)


def pieces_of(row: Need) -> list[tuple[int, int]]:
    """(length in µm, count) of what is cut from rolls; empty for anything else."""
    return [(length, count) for length, count in json.loads(row.pieces or "[]")]


def _net_drawn(pairs: Iterable[Pair]) -> dict[Pair, list[tuple[int, int]]]:
    """(line, amount) of each pair: what the job drew of the product, less what it brought back.

    An offcut of a sheet is no sheet: neither drawing one nor bringing one back counts.
    """
    jobs, products = ({pair[i] for pair in pairs} for i in (0, 1))
    lines = (
        standing()
        .select(
            Movement.id, Movement.amount, Movement.job, Lot.product, Lot.parent, Product.measure
        )
        .join(Lot, on=(Movement.lot == Lot.id))
        .join(Product, on=(Lot.product == Product.id))
        .where(
            Movement.job.in_(list(jobs)),
            Lot.product.in_(list(products)),
            Movement.kind.in_(("draw", "return")),
        )
        .order_by(Movement.id)
    )
    found: dict[Pair, list[tuple[int, int]]] = {}
    for line, amount, job, product, parent, measure in lines.tuples():
        if parent is None or measure != "count":
            found.setdefault((job, product), []).append((line, -amount))
    return found


def is_offcut(lot: Lot) -> bool:
    """Whether a lot is a piece off a sheet, which nobody can take for a whole one."""
    return lot.parent_id is not None and lot.product.measure == "count"
