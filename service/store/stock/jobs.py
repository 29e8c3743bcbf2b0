"""Jobs by number, what keeps one from being closed, and what it drew."""

from __future__ import annotations

from ..lookup import key_of
from ..tables import Job, Layup, Lot, Movement, Withdrawal
from ..yard import withdrawals
from .standing import standing


def find_job(number: str) -> Job | None:
    """The job with a number, whatever its case, or None."""
    return Job.get_or_none(Job.number_key == key_of(number))


def watched_layups(job_id: int) -> list[Layup]:
    """A job's layups that are watched, oldest first: not ended yet, or in trouble when they did."""
    layups = Layup.select().where(Layup.job == job_id, Layup.closed_at.is_null())
    return list(layups.order_by(Layup.applied_at, Layup.id))


def layups_closed_with(job: Job) -> list[Layup]:
    """The layups of a closed job that its closing ended, oldest first."""
    why = Layup.closed_reason
    same = why.is_null() if job.close_reason is None else why == job.close_reason
    rows = Layup.select().where(
        Layup.job == job.id,
        Layup.ended_at == job.closed_at,
        same,
        withdrawals.standing(Withdrawal.layup),
    )
    return list(rows.order_by(Layup.applied_at, Layup.id))


def drawn_of(job_id: int, lot_id: int) -> int:
    """How much of a lot a job drew and has not brought back, pieces included, base units.

    The return that made a piece a lot is of the lot that it was cut from, not of the piece.
    """
    own = (Lot.id == lot_id) & Lot.parent.is_null()
    into = Lot.select(Lot.id).where((Lot.parent == lot_id) | own)
    drawn = (Movement.kind == "draw") & (Movement.lot == lot_id)
    back = (Movement.kind == "return") & Movement.lot.in_(into)
    lines = standing().where(Movement.job == job_id, drawn | back)
    return -sum(line.amount for line in lines)


def last_lot_drawn(job_id: int, product_id: int) -> Lot | None:
    """The lot of a product that a job drew from last, or None."""
    drawn = (
        Lot.select()
        .join(Movement, on=(Movement.lot == Lot.id))
        .where(Movement.job == job_id, Movement.kind == "draw", Lot.product == product_id)
    )
    return drawn.order_by(Movement.id.desc()).first()
