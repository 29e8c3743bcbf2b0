"""Hold structural work back until its job names its authority, or a lead answers for it.

A lead's override on the job lasts as long as one of a quality gate. A job of which nobody said
whether it is structural gets no cut list, and a warning with its first pot or layup.
"""

from __future__ import annotations

from collections.abc import Mapping

from ...core.errors import AuthorityMissing
from ...core.gates import authority
from ...core.words import Text
from ...store.cure import layups, pots
from ...store.stock.jobs import Job
from ...store.yard import overrides
from ...store.yard.hands import Hand
from ..yard import permissions

LASTS_S = 86_400
"""How long an override on a job holds: a day (common practice, no source)."""


def check_work(job: Job, override: Mapping[str, str] | None, now: int, hand: Hand) -> str | None:
    """The reason that sets the refusal of work on a job aside, or None if none is needed.

    Raises:
        AuthorityMissing: the job is structural, names no authority, and nobody overrides.
        NotAllowed: an override, and not by a lead.
    """
    if not authority.stops_work(job.structural, job.authority) or is_set_aside(job, now):
        return None
    reason = permissions.reason_of(override, hand)
    if reason is None:
        raise _missing(job)
    return reason


def check_cuts(job: Job, now: int) -> None:
    """Refuse a cut list for a job that is, or may be, structural and names no authority.

    Raises: AuthorityMissing.
    """
    if authority.stops_cutting(job.structural, job.authority) and not is_set_aside(job, now):
        raise _missing(job)


def is_set_aside(job: Job, now: int) -> bool:
    """Whether a lead set the refusal aside for the job, at most a day ago."""
    rows = overrides.of_job_alone(job.id, since=now - LASTS_S)
    return any(row.slug == AuthorityMissing.slug for row in rows)


def pot_words(job: Job, now: int) -> list[Text]:
    """A warning with a pot for a structural job without an authority: it will not be laid up."""
    if not authority.stops_work(job.structural, job.authority) or is_set_aside(job, now):
        return []
    return [
        f"Job {job.number} is structural and names no authority: its layup is refused until it "
        "does. Set the job's 'authority' now."
    ]


def unasked_words(job: Job) -> list[Text]:
    """A warning with a job's first pot or layup if nobody said whether it is structural."""
    if not authority.unasked(job.structural) or job.authority or _was_worked_on(job):
        return []
    return [
        f"Nobody has said whether job {job.number} is structural: until somebody does, it counts "
        f"as structural. {authority.SAY_SO}"
    ]


def _was_worked_on(job: Job) -> bool:
    return bool(pots.of_job(job.id) or layups.any_of_job(job.id))


def _missing(job: Job) -> AuthorityMissing:
    overriding = "Or have a lead override it with a reason."
    if authority.unasked(job.structural):
        return AuthorityMissing(
            f"Nobody has said whether job {job.number} is structural, so it gets no cut list.",
            advice=f"{authority.SAY_SO} {overriding}",
            job=job.number,
        )
    return AuthorityMissing(
        f"Job {job.number} is structural and names no authority.",
        advice="Name whose rules it goes by, the builder's, a class society's or a surveyor's, as "
        f"the job's 'authority'. {overriding}",
        job=job.number,
    )
