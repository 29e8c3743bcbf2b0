"""Needs that stand, and what their jobs have drawn since they were said."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import Any, NamedTuple

from ...core.stock.remainder import allowance
from ...core.stock.reserving import Want, cut_down, still_wanted
from .. import plan as plans
from .. import tables
from ..engine.rows import Reader, Value, exists, insert, matching, query
from ..products import Product
from ..yard.hands import Hand
from .jobs import Job
from .lines import NOT_REVERSED

Pair = tuple[int, int]
"""Ids of a job and of a product."""
Days = tuple[date | None, date | None]
"""The first and the last day of something."""


class Need(NamedTuple):
    """What a job will take of a product, or the correction of one; 0 withdraws.

    `pieces` is JSON, `[[length_um, count], …]`, of what is cut from rolls. What the job drew
    up to the ledger's line `drawn_after` was for something else.
    """

    id: int
    job_id: int
    product_id: int
    amount: int
    pieces: str | None
    by_on: date | None
    drawn_after: int
    replaces_id: int | None
    recorded_at: int
    who: str
    verified: bool
    job: Job
    product: Product


_NEEDS = Reader(Need, tables.Need)

find_need = _NEEDS.by_id

_STANDING = """
    need.amount > 0
    AND NOT EXISTS (SELECT 1 FROM need AS later WHERE later.replaces_id = need.id)
"""
_OF_OPEN_JOB = "need.job_id IN (SELECT id FROM job WHERE closed_at IS NULL)"
"""By the open jobs' ids: as a join, SQLite reads the needs of years first."""


def of_job(job_id: int) -> list[Need]:
    """A job's needs as they stand, the job open or closed, in the order first said."""
    return _standing({"need.job_id = ?": job_id})


def of_open_jobs(product_id: int | None = None) -> list[Need]:
    """The needs of every open job, of one product or of all, in the order first said.

    A closed job needs nothing more: its needs are released by that alone.
    """
    return _standing({"need.product_id = ?": product_id}, _OF_OPEN_JOB)


def _standing(conditions: Mapping[str, Value], *more: str) -> list[Need]:
    where, values = matching(conditions, _STANDING, *more)
    return _NEEDS.all(f"{where} ORDER BY need.drawn_after, need.id", *values)


def add(*, now: int, hand: Hand, **columns: Any) -> Need:
    """Add a need, or the correction of one; `columns` by their names."""
    return _NEEDS.of_id(insert(tables.Need, **columns, **hand.signed(now)))


def is_replaced(need_id: int) -> bool:
    """Whether a later need took a need's place."""
    return exists("SELECT 1 FROM need WHERE replaces_id = ?", need_id)


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
    sql = f"""
        SELECT movement.id, movement.amount, movement.job_id, lot.product_id, lot.parent_id,
            product.measure
        FROM movement JOIN lot ON lot.id = movement.lot_id
        JOIN product ON product.id = lot.product_id
        WHERE movement.job_id IN (?*) AND lot.product_id IN (?*)
        AND movement.kind IN ('draw', 'return') AND {NOT_REVERSED} ORDER BY movement.id
    """
    lines = query(sql, sorted(jobs), sorted(products))
    found: dict[Pair, list[tuple[int, int]]] = {}
    for line, amount, job, product, parent, measure in lines:
        if parent is None or measure != "count":
            found.setdefault((job, product), []).append((line, -amount))
    return found
