"""What happened to a surface: water, an opening, heat, and what spoils a bond."""

from __future__ import annotations

from typing import Any

from ...core.amounts.views import Moment
from ...core.errors import Invalid
from ...core.frozen import frozen
from ...core.wetness.readings import Note, NoteKind, Water
from ...core.words import Text
from ...store import wetness
from ...store.engine.database import writing
from ...store.lookup import key_of
from ...store.stock.jobs import Job
from ...store.wetness import NOTES, SurfaceNote
from ...store.yard.hands import Hand
from ..yard import finding, moments
from ..yard.taken_back import WithdrawnView
from . import remarks
from .taken_back import RecordView, signed, withdrawals_of


@frozen
class SurfaceNoteView(RecordView):
    """What happened to a place, or the whole boat where no place is named."""

    place: str | None
    kind: NoteKind
    water: Water | None
    note: str | None
    at: Moment


@frozen
class SurfaceNoteWithWarningsView(SurfaceNoteView):
    """A surface note, with what to mind of it."""

    warnings: list[Text]


def note_surface(
    job: Job,
    *,
    kind: NoteKind,
    now: int,
    hand: Hand,
    place: str | None = None,
    water: Water | None = None,
    note: str | None = None,
    at: int | None = None,
) -> SurfaceNoteWithWarningsView:
    """Note what happened to a surface.

    Args:
        place: as in the readings; None for the whole boat.
        water: how the last water of a wash ran: ASTM F22, water-break test, from memory.

    Raises: JobClosed. Invalid: water of what is no wash, heat off where none was on. As
        `moments.happened`.
    """
    with writing():
        row = finding.open_job(job.number, "/job")
        known = remarks.known_places(row)
        if water is not None and kind != "washed":
            raise Invalid(
                "How the water ran is seen at a wash.",
                advice="Leave 'water' out, or note that it was washed.",
                pointer="/water",
            )
        happened = moments.happened(at, now, "/at", by=hand)
        if kind == "heat_off" and not _is_heated(standing_notes(row, happened), place):
            raise Invalid(
                f"No heat is noted as on {'at ' + place if place else 'anywhere on the boat'}.",
                advice="Note where and since when heat was on; or check the place.",
                pointer="/kind",
            )
        new = wetness.add(
            "surface_note", job_id=row.id, place=place, kind=kind, water=water, note=note,
            at=happened, now=now, hand=hand,
        )  # fmt: skip
        kept = NOTES.of_id(new)
        return SurfaceNoteWithWarningsView(
            **vars(_show(kept, row, None)),
            warnings=[
                *remarks.of_place(known, place),
                *remarks.of_twin("surface_note", wetness.standing(NOTES, row.id), kept),
            ],
        )


def _is_heated(rows: list[SurfaceNote], place: str | None) -> bool:
    """Whether heat is on at a place; of the whole boat, whether it is on anywhere.

    Args:
        rows: the notes until then, oldest first.
    """
    heated: set[str | None] = set()
    for row in rows:
        if row.kind == "heat_on":
            heated.add(row.place_key)
        elif row.kind == "heat_off":
            heated = heated - {row.place_key} if row.place_key else set()
    return bool(heated if place is None else heated & {None, key_of(place)})


def list_notes(job: Job, after: int | None, limit: int) -> list[SurfaceNoteView]:
    """Every note of a job's surfaces, the last recorded first, after the one with that id."""
    rows = wetness.page(NOTES, job.id, after, limit)
    taken = withdrawals_of("surface_note", rows)
    return [_show(row, job, taken.get(row.id)) for row in rows]


def standing_notes(job: Job, now: int) -> list[SurfaceNote]:
    """The notes of a job that nobody took back, of what happened by a moment, oldest first."""
    rows = [row for row in wetness.standing(NOTES, job.id) if row.at <= now]
    return sorted(rows, key=lambda row: (row.at, row.id))


def show_standing(job: Job, now: int) -> list[SurfaceNoteView]:
    """As `standing_notes`, for an answer."""
    return [_show(row, job, None) for row in standing_notes(job, now)]


def notes_of(rows: list[SurfaceNote], place: str) -> list[Note]:
    """The notes of a place and of the whole boat."""
    key = key_of(place)
    return [as_note(row) for row in rows if row.place_key in (None, key)]


def as_note(row: SurfaceNote) -> Note:
    """A note without who wrote it."""
    kind: Any = row.kind
    water: Any = row.water
    return Note(kind, row.at, water)


def _show(row: SurfaceNote, job: Job, taken: WithdrawnView | None) -> SurfaceNoteView:
    kind: Any = row.kind
    water: Any = row.water
    return SurfaceNoteView(
        **signed(row, job, taken),
        place=row.place,
        kind=kind,
        water=water,
        note=row.note,
        at=row.at,
    )
