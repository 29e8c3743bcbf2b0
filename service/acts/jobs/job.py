"""Open a job, change it, close it, show it."""

from __future__ import annotations

from typing import Annotated, Any

from ...core.amounts.views import Code, Moment, RowId, Says, View
from ...core.errors import AlreadyExists, Invalid, JobClosed
from ...core.frozen import frozen
from ...store.cure import layups
from ...store.engine.database import writing
from ...store.engine.rows import differing
from ...store.stock import jobs, signatures
from ...store.stock.jobs import Job, State, Structural
from ...store.stock.signatures import Signature
from ...store.yard import logbook
from ...store.yard.hands import Hand
from ..yard import finding, moments, permissions
from .signature import SignatureView, show_signature


@frozen
class JobView(View):
    """A job and its state."""

    id: RowId
    number: Code
    title: str
    craft: str
    structural: Structural
    authority: str | None
    state: State
    opened_at: Moment
    closed_at: Moment | None
    close_reason: str | None
    signature: Annotated[
        SignatureView | None, Says("The signature that stands: nothing is written to the job.")
    ]
    version: int


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
) -> JobView:
    """Open a job on a craft.

    Args:
        structural: whether it carries load; unknown counts as yes.
        authority: who answers for a structural repair: builder, class, surveyor.
        at: when it was opened, epoch s; None for now.

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
    state: State | None = None,
    reason: str | None = None,
    **facts: str | None,
) -> JobView:
    """Change a job's title, craft, structural or authority; close it, or open it again.

    Closing is refused while one of its layups is still watched, unless a reason is given. When
    a job is opened again, the layups that its closing ended are watched again, and its needs
    count.

    Raises:
        JobClosed: it is closed already, or one of its layups still cures.
        Signed: it is signed, and not opened again. Invalid: opened again without a reason.
    """
    with writing():
        signed = signatures.standing(row.id)
        if signed is not None and (state != "open" or any(facts.values())):
            finding.refuse_signed(row)
        if signed is not None:
            _void(row, signed, reason, now, hand)
        changes: dict[str, Any] = {k: v for k, v in facts.items() if v is not None}
        if state == "open" and row.closed_at is not None:
            changes |= {"closed_at": None, "close_reason": None}
        if state == "closed":
            _close(row, reason, now, hand)
            changes |= {"closed_at": now, "close_reason": reason}
        if changes := differing(row, changes):
            jobs.change(row.id, **changes)
        if state == "open" and row.closed_at is not None:
            _reopened(row, reason, now, hand)
        return show_job(finding.job(row.number))


def show_job(row: Job) -> JobView:
    """A job and its state."""
    return _show(row, signatures.standing(row.id))


def _show(row: Job, signed: Signature | None) -> JobView:
    return JobView(
        id=row.id,
        number=row.number,
        title=row.title,
        craft=row.craft,
        structural=row.structural,
        authority=row.authority,
        state="open" if row.closed_at is None else "closed",
        opened_at=row.opened_at,
        closed_at=row.closed_at,
        close_reason=row.close_reason,
        signature=None if signed is None else show_signature(signed, None),
        version=row.version,
    )


def list_jobs(after: int | None, limit: int, state: State | None = None) -> list[JobView]:
    """Jobs, newest first, after the one with that id; open or closed ones alone if asked."""
    rows = jobs.page(after, limit, state)
    signed = signatures.of_jobs(row.id for row in rows)
    standing = {
        job: row for job, found in signed.items() for row, voided in found if voided is None
    }
    return [_show(row, standing.get(row.id)) for row in rows]


def _close(row: Job, reason: str | None, now: int, hand: Hand) -> None:
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
        permissions.overridden(
            JobClosed.slug, reason or "", f"job {row.number}", now=now, hand=hand, job_id=row.id
        )
        end_layups(row, reason or "", now, hand)


def end_layups(row: Job, reason: str, now: int, hand: Hand) -> None:
    """End the watch on a job's layups; those in trouble stay in every list."""
    from ..cure import ending, watch  # late: who looks at a job closes none

    for each in watch.watch_all(layups.open_layups_of(row.id), now):
        ending.end(each.row, now, reason, sound=not each.in_trouble, now=now, hand=hand)


def _void(row: Job, signed: Signature, reason: str | None, now: int, hand: Hand) -> None:
    """Void the signature of a job that is opened again; both stay on record.

    Raises: Invalid: no reason. NotAllowed: not a lead.
    """
    hand.must_be("lead", "To open a signed job again")
    if not reason:
        raise Invalid(
            f"Job {row.number} is signed: to open it again voids that, and needs a reason.",
            advice="Give the 'reason'.",
            pointer="/reason",
        )
    signatures.void(signed.id, reason=reason, now=now, hand=hand)
    logbook.record("signature voided", f"job {row.number}", reason=reason, now=now, hand=hand)


def _reopened(row: Job, reason: str | None, now: int, hand: Hand) -> None:
    """Watch again the layups that the closing of a job ended, and enter it in the logbook.

    Args:
        row: the job as it was when it was closed.
    """
    from ..cure import ending

    logbook.record("job reopened", f"job {row.number}", reason=reason, now=now, hand=hand)
    for layup in layups.closed_with(row):
        ending.judge_again(layup, now, hand)
