"""What each record of wetness says of who recorded it; and to take one back: it stays on record."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from ...core.amounts.views import Code, Moment, View
from ...core.frozen import frozen
from ...store.engine.database import writing
from ...store.engine.rows import Reader
from ...store.stock.jobs import Job
from ...store.wetness import FILMS, FINDINGS, NOTES, READINGS, SAMPLES, Table
from ...store.yard import withdrawals
from ...store.yard.hands import Hand
from ..yard import finding, permissions
from ..yard.taken_back import WithdrawnView, show_withdrawal

READERS: dict[Table, Reader[Any]] = {
    "finding": FINDINGS,
    "moisture_reading": READINGS,
    "surface_note": NOTES,
    "film_test": FILMS,
    "weighed_sample": SAMPLES,
}


@frozen
class RecordView(View):
    """A record of a job: who recorded it and when, and how it was taken back, if it was."""

    id: int
    job: Code
    who: str
    verified: bool
    recorded_at: Moment
    withdrawn: WithdrawnView | None


def signed(row: Any, job: Job, taken: WithdrawnView | None) -> dict[str, Any]:
    """The values of a `RecordView`, of a row of that job."""
    return {
        "id": row.id,
        "job": job.number,
        "who": row.who,
        "verified": row.verified,
        "recorded_at": row.recorded_at,
        "withdrawn": taken,
    }


def take_back(
    table: Table, job: Job, row_id: int, *, reason: str, now: int, hand: Hand
) -> WithdrawnView:
    """Take back a row of a job: a hand its own within a day, a lead anybody's.

    Raises: NotFound: the job has no such row. AlreadyExists, NotAllowed.
    """
    name = table.replace("_", " ")
    with writing():
        finding.refuse_signed(job)
        row = finding.of_job(READERS[table].by_id(row_id), job, f"{name} {row_id}")
        withdrawals.refuse_twice(table, row_id, f"{name.capitalize()} {row_id}")
        permissions.may_undo(row, now, hand)
        withdrawals.withdraw(table, row_id, reason, now=now, hand=hand)
        return WithdrawnView(now, hand.name, hand.verified, reason)


def withdrawals_of(table: Table, rows: Iterable[Any]) -> dict[int, WithdrawnView]:
    """Row's id → how it was taken back, of those of some rows that were."""
    taken = withdrawals.of_rows(table, [row.id for row in rows])
    return {row_id: show_withdrawal(how) for row_id, how in taken.items()}
