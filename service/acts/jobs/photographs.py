"""Photographs of a job, a layup, a lot or a finding: keep one, list them, take one back."""

from __future__ import annotations

from collections.abc import Iterable

from ...core.amounts.views import Code, Moment, View
from ...core.errors import Invalid, NotFound
from ...core.frozen import frozen
from ...store import photographs
from ...store.cure.layups import Layup
from ...store.engine.database import writing
from ...store.photographs import Of, Photograph
from ...store.stock import jobs
from ...store.stock.jobs import Job
from ...store.stock.lots import Lot
from ...store.wetness import Finding
from ...store.yard import withdrawals
from ...store.yard.hands import Hand
from ..yard import finding, permissions
from ..yard.taken_back import WithdrawnView, show_withdrawal

Thing = Job | Layup | Lot | Finding
"""What a photograph may be of."""

MOST_OF_FINDING = 8
"""Photographs of one finding."""


@frozen
class PhotographView(View):
    """A photograph, without its bytes: what it is of, what it shows, who kept it and when.

    One of `job`, `layup` and `lot` is given, and with the job perhaps its finding. The moment is
    when it was kept.
    """

    id: int
    job: Code | None
    layup: int | None
    lot: int | None
    finding: int | None
    shows: str
    width_px: int
    height_px: int
    size_bytes: int
    sha256: str
    at: Moment
    who: str
    verified: bool
    withdrawn: WithdrawnView | None


@frozen
class KeptPhotographView(PhotographView):
    """A photograph that was sent; the same one of the same thing is kept once."""

    kept_before: bool


def keep_photograph(
    of: Thing, *, jpeg: bytes, width_px: int, height_px: int, shows: str, now: int, hand: Hand
) -> KeptPhotographView:
    """Keep a photograph of something, unless it has the very same already.

    A closed job may still be photographed: nothing is booked to it by that.

    Args:
        jpeg: its bytes, as they are kept. shows: what it shows.

    Raises:
        Invalid: the layup or the finding was taken back, or the finding has eight already.
    """
    with writing():
        _refuse_signed(of)
        if isinstance(of, Layup):
            finding.must_be_laid(of)
        same = photographs.find_same({_name(of): of.id}, photographs.digest(jpeg))
        found = of.id if isinstance(of, Finding) else None
        if same is None and isinstance(of, Finding):
            _check_finding(of)
        named: dict[Of, int] = {"job": of.job_id} if isinstance(of, Finding) else {_name(of): of.id}
        row = same or photographs.add(
            named, jpeg, shows=shows, width_px=width_px, height_px=height_px, now=now, hand=hand,
            finding=found,
        )  # fmt: skip
        shown = show_photograph(row)
        return KeptPhotographView(**vars(shown), kept_before=same is not None)


def _refuse_signed(of: Thing) -> None:
    """Refuse a photograph of a job that is signed, or of a part of it."""
    if isinstance(of, Finding):
        finding.refuse_signed(jobs.job(of.job_id))
    elif not isinstance(of, Lot):
        finding.refuse_signed(of.job if isinstance(of, Layup) else of)


def _check_finding(of: Finding) -> None:
    """Refuse a photograph of a finding that was taken back, or that has enough of them.

    Raises: Invalid.
    """
    if withdrawals.of_row("finding", of.id) is not None:
        raise Invalid(
            f"Finding {of.id} was taken back.", advice="Record what was found anew.", pointer=""
        )
    if len(photographs.standing_of("finding", of.id)) >= MOST_OF_FINDING:
        raise Invalid(
            f"Finding {of.id} has {MOST_OF_FINDING} photographs already.",
            advice="Take one of them back, or keep this one with the job.",
            pointer="",
        )


def take_back_photograph(row: Photograph, *, reason: str, now: int, hand: Hand) -> PhotographView:
    """Take a photograph back: its row and its bytes stay, and nobody is shown the picture.

    Raises: AlreadyExists: it was taken back before. NotAllowed: as `permissions.may_undo`.
    """
    with writing():
        if row.job is not None:
            finding.refuse_signed(row.job)
        elif row.layup_id is not None:
            finding.refuse_signed(finding.layup(row.layup_id).job)
        withdrawals.refuse_twice("photograph", row.id, f"Photograph {row.id}")
        permissions.may_undo(row, now, hand)
        withdrawals.withdraw("photograph", row.id, reason, now=now, hand=hand)
        return show_photograph(row)


def show_photograph(row: Photograph) -> PhotographView:
    """What is known of a photograph."""
    (shown,) = _show([row])
    return shown


def list_photographs(of: Thing, after: int | None, limit: int) -> list[PhotographView]:
    """Photographs of something, newest first, after the one with that id.

    Those of a job are its own and its layups'. Those that were taken back are listed as such.
    """
    return _show(photographs.page(_name(of), of.id, after, limit))


def standing_photographs(of: Thing) -> list[PhotographView]:
    """Those of something that were not taken back, oldest first."""
    return _show(photographs.standing_of(_name(of), of.id))


def image_of(row: Photograph) -> bytes:
    """The JPEG of a photograph.

    Raises: NotFound: it was taken back.
    """
    if withdrawals.of_row("photograph", row.id) is not None:
        raise NotFound(
            f"Photograph {row.id} was taken back, and is not shown any more.",
            advice="List the photographs to see which there are.",
        )
    return photographs.jpeg_of(row.id)


def _name(of: Thing) -> Of:
    names: dict[type, Of] = {Job: "job", Layup: "layup", Lot: "lot", Finding: "finding"}
    return names[type(of)]


def _show(rows: Iterable[Photograph]) -> list[PhotographView]:
    kept = list(rows)
    withdrawn = withdrawals.of_rows("photograph", (row.id for row in kept))
    findings = photographs.findings_of(row.id for row in kept)
    return [
        PhotographView(
            id=row.id,
            job=row.job.number if row.job else None,
            layup=row.layup_id,
            lot=row.lot_id,
            finding=findings.get(row.id),
            shows=row.shows,
            width_px=row.width_px,
            height_px=row.height_px,
            size_bytes=row.size_bytes,
            sha256=row.sha256,
            at=row.recorded_at,
            who=row.who,
            verified=row.verified,
            withdrawn=show_withdrawal(withdrawn[row.id]) if row.id in withdrawn else None,
        )
        for row in kept
    ]
