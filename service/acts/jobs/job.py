"""Open a job, change it, close it, show it."""

from __future__ import annotations

from typing import Any, Literal

from ...core.errors import AlreadyExists, JobClosed
from ...store.cure import layups
from ...store.engine.database import writing
from ...store.stock import jobs
from ...store.stock.jobs import Job
from ...store.yard import logbook
from ...store.yard.hands import Hand
from ..cure import ending, watch
from ..yard import finding, moments
from ..yard import permissions as leave

Structural = Literal["yes", "no", "unknown"]
State = Literal["open", "closed"]


def open_job(
    *,
    number: str,
    title: str,
    craft: str,
    now: int,
    hand: Hand,
    structural: Structural = "unknown",
    authority: str | None = None,
    at: int | None = None,
) -> dict[str, Any]:
    """Open a job on a craft.

    Args:
        structural: whether it carries load; unknown counts as yes.
        authority: who answers for a structural repair: builder, class, surveyor.
        at: when it was opened, epoch s; now when it is not said.

    Raises:
        AlreadyExists: the number is taken. As `moments.happened`.
    """
    with writing():
        opened_at = moments.happened(at, now, "/at", by=hand)
        if jobs.find_job(number):
            raise AlreadyExists(
                f"There is a job {number} already.",
                advice="Choose another number.",
                pointer="/number",
            )
        row = jobs.add(
            number,
            title=title,
            craft=craft,
            structural=structural,
            authority=authority,
            opened_at=opened_at,
        )
        return show_job(row)


def change_job(
    row: Job,
    *,
    now: int,
    hand: Hand,
    state: Literal["open", "closed"] | None = None,
    reason: str | None = None,
    **facts: str | None,
) -> dict[str, Any]:
    """Change a job's words, close it, or open it again.

    Closing is refused while a layup of it is still watched, unless a reason is given. Opened
    again, what its closing ended is watched as before, and its needs count.

    Raises:
        JobClosed: it is closed already, or a layup of it still cures.
    """
    with writing():
        changes: dict[str, Any] = {k: v for k, v in facts.items() if v is not None}
        if state == "open" and row.closed_at is not None:
            changes |= {"closed_at": None, "close_reason": None}
        if state == "closed":
            changes |= _closing(row, reason, now, hand)
        jobs.change(row.id, **changes)
        if state == "open" and row.closed_at is not None:
            _reopened(row, reason, now, hand)
        return show_job(finding.job(row.number))


def show_job(row: Job) -> dict[str, Any]:
    """A job and where it stands."""
    return {
        "id": row.id,
        "number": row.number,
        "title": row.title,
        "craft": row.craft,
        "structural": row.structural,
        "authority": row.authority,
        "state": "open" if row.closed_at is None else "closed",
        "opened_at": row.opened_at,
        "closed_at": row.closed_at,
        "close_reason": row.close_reason,
        "version": row.version,
    }


def list_jobs(after: int | None, limit: int, state: State | None = None) -> list[dict[str, Any]]:
    """Jobs, newest first, after the one with that id; open or closed if it is said."""
    return [show_job(row) for row in jobs.page(after, limit, state)]


def _closing(row: Job, reason: str | None, now: int, hand: Hand) -> dict[str, Any]:
    if row.closed_at is not None:
        raise JobClosed(f"Job {row.number} is closed already.", advice="Nothing is left to do.")
    watched = layups.open_layups_of(row.id)
    if watched and reason is None:
        cure = "1 layup still cures" if len(watched) == 1 else f"{len(watched)} layups still cure"
        raise JobClosed(
            f"Job {row.number} can't be closed: {cure}.",
            advice="Record them as covered or handed over, or give a reason to close it now.",
            layups=[layup.id for layup in watched],
        )
    if watched:
        leave.overridden(
            JobClosed.slug, reason or "", f"job {row.number}", now=now, hand=hand, job_id=row.id
        )
        for each in watch.watch_all(watched, now):
            ending.end(each.row, now, reason or "", sound=not each.in_trouble, now=now, hand=hand)
    return {"closed_at": now, "close_reason": reason}


def _reopened(row: Job, reason: str | None, now: int, hand: Hand) -> None:
    """Watch again what the closing of a job ended, and put it into the logbook.

    Args:
        row: the job as it was when it was closed.
    """
    logbook.record("job reopened", f"job {row.number}", reason=reason, now=now, hand=hand)
    for layup in layups.closed_with(row):
        ending.judge_again(layup, now, hand)
