"""The ledger's lines as they are listed, each with its lot, product and job in one look."""

from __future__ import annotations

from peewee import JOIN

from ..tables import Job, Lot, Movement, Product
from ..yard.hands import Hand
from . import acceptances, entries


def newest(
    after: int | None,
    limit: int,
    *,
    lot: int | None = None,
    job: int | None = None,
    by: Hand | None = None,
    waiting: bool = False,
) -> list[Movement]:
    """Lines, newest first.

    Args:
        after: the id of the line after which to go on. lot, job: ids, to list only theirs.
        by: to list only what this hand recorded.
        waiting: to list only counts that no lead has accepted yet.
    """
    rows = (
        Movement.select(Movement, Lot, Product, Job)
        .join(Lot)
        .join(Product)
        .join_from(Movement, Job, JOIN.LEFT_OUTER)
    )
    if after is not None:
        rows = rows.where(Movement.id < after)
    if lot is not None:
        rows = rows.where(Movement.lot == lot)
    if job is not None:
        rows = rows.where(Movement.job == job)
    if by is not None:
        rows = rows.where(entries.by(Movement, by))
    if waiting:
        rows = rows.where(acceptances.waiting())
    return list(rows.order_by(Movement.id.desc()).limit(limit))
