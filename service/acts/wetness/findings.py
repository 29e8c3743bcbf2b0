"""Findings: damage or wetness at a place of the boat, and how it was found."""

from __future__ import annotations

from typing import Annotated, Any, Literal, get_args

from ...core.amounts.quantities import SIZE
from ...core.amounts.views import Moment
from ...core.errors import Invalid, NotFound, gather
from ...core.frozen import frozen
from ...core.words import Text
from ...store import wetness
from ...store.engine.database import writing
from ...store.stock.jobs import Job
from ...store.wetness import FINDINGS, Finding
from ...store.yard.hands import Hand
from ..yard import conversions, finding, moments
from ..yard.taken_back import WithdrawnView
from . import remarks, surface
from .taken_back import RecordView, signed, withdrawals_of

Side = Literal["port", "starboard", "centreline"]
FindingKind = Literal["blister", "crack", "delamination", "wet_core", "hole", "other"]
SIDES: tuple[Side, ...] = get_args(Side)
KINDS: tuple[FindingKind, ...] = get_args(FindingKind)


@frozen
class FindingView(RecordView):
    """What was found at a place; no depth where it was not opened."""

    place: str
    side: Side
    kind: FindingKind
    length: Annotated[int, SIZE]
    width: Annotated[int, SIZE]
    depth: Annotated[int | None, SIZE]
    found_by: str
    note: str | None
    at: Moment


@frozen
class FindingWithWarningsView(FindingView):
    """A finding, with what to mind of it."""

    warnings: list[Text]


def record_finding(
    job: Job,
    *,
    place: str,
    side: Side,
    kind: FindingKind,
    length: Any,
    width: Any,
    found_by: str,
    now: int,
    hand: Hand,
    depth: Any = None,
    note: str | None = None,
    at: int | None = None,
) -> FindingWithWarningsView:
    """Record a finding.

    Args:
        place: in the yard's words. length, width, depth: µm; no depth: it was not opened.
        found_by: how, such as by eye, by tapping, by meter.

    Raises: JobClosed. Invalid: a size of nothing. As `moments.happened`.
    """
    sizes = {"length": length, "width": width, "depth": depth}
    gather(*(_too_small(name, size) for name, size in sizes.items()))
    with writing():
        row = finding.open_job(job.number, "/job")
        known = remarks.known_places(row)
        new = wetness.add(
            "finding", job_id=row.id, place=place, side=side, kind=kind,
            length_um=round(length), width_um=round(width), depth_um=conversions.nearest(depth),
            found_by=found_by, note=note, at=moments.happened(at, now, "/at", by=hand),
            now=now, hand=hand,
        )  # fmt: skip
        kept = FINDINGS.of_id(new)
        return FindingWithWarningsView(
            **vars(_show(kept, row, None)),
            warnings=[
                *remarks.of_place(known, place),
                *remarks.of_twin("finding", wetness.standing(FINDINGS, row.id), kept),
            ],
        )


def of_job(job: Job, row_id: int) -> Finding:
    """A finding of a job.

    Raises: NotFound.
    """
    row = FINDINGS.by_id(row_id)
    if row is None or row.job_id != job.id:
        raise NotFound(f"Job {job.number} has no finding {row_id}.", advice="List its findings.")
    return row


def _too_small(name: str, size: Any) -> Invalid | None:
    if size is None or round(size) > 0:
        return None
    return Invalid(
        "That is too small to be seen.",
        advice="Check the number and its unit.",
        pointer=f"/{name}",
    )


def list_findings(job: Job, after: int | None, limit: int) -> list[FindingView]:
    """Every finding of a job, the last recorded first, after the one with that id."""
    rows = wetness.page(FINDINGS, job.id, after, limit)
    taken = withdrawals_of("finding", rows)
    return [_show(row, job, taken.get(row.id)) for row in rows]


def standing_findings(job: Job) -> list[FindingView]:
    """The findings of a job that nobody took back, as they were recorded."""
    return [_show(row, job, None) for row in wetness.standing(FINDINGS, job.id)]


def unopened(job: Job, now: int) -> list[Finding]:
    """The findings of a job that were not opened, nor anything at their place since.

    A note 'opened' of the place, or a finding with a depth at the same place and side, settles one.
    """
    rows = [row for row in wetness.standing(FINDINGS, job.id) if row.at <= now]
    deep = {(row.place_key, row.side, row.at) for row in rows if row.depth_um is not None}
    opened = [
        (note.place_key, note.at)
        for note in surface.standing_notes(job, now)
        if note.kind == "opened" and note.place_key is not None
    ]

    def is_settled(row: Finding) -> bool:
        return any(key == row.place_key and at >= row.at for key, at in opened) or any(
            (key, side) == (row.place_key, row.side) and at >= row.at for key, side, at in deep
        )

    return [row for row in rows if row.depth_um is None and not is_settled(row)]


def _show(row: Finding, job: Job, taken: WithdrawnView | None) -> FindingView:
    side: Any = row.side
    kind: Any = row.kind
    return FindingView(
        **signed(row, job, taken),
        place=row.place,
        side=side,
        kind=kind,
        length=row.length_um,
        width=row.width_um,
        depth=row.depth_um,
        found_by=row.found_by,
        note=row.note,
        at=row.at,
    )
