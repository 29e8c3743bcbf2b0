"""Surface notes: water, an opening, heat, and what spoils a bond."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from ...acts.wetness import surface
from ...acts.wetness.surface import SurfaceNoteView, SurfaceNoteWithWarningsView
from ...acts.wetness.taken_back import take_back
from ...acts.yard import finding
from ...acts.yard.taken_back import WithdrawnView
from ...core.wetness.readings import NOTE_KINDS, WATERS
from .. import fields
from ..context.request import hand, now
from ..fields.schemas import Body, Loaded
from ..fields.views import answer
from ..http import paging
from ..http.access import reads, writes
from .bodies import ReasonIn
from .jobs import blp as blp


class SurfaceNoteIn(Body):
    """What happened to a place, or the whole boat where no place is named."""

    kind = fields.Choice(NOTE_KINDS, required=True)
    place = fields.Text(most=80)
    water = fields.Choice(WATERS)
    note = fields.Text()
    at = fields.Moment()


@blp.route("/<code:number>/surface-notes")
class SurfaceNotes(MethodView):
    """The surface notes of a job."""

    @blp.arguments(paging.Page, location="query")
    @reads()
    @blp.response(200, paging.listing(answer(SurfaceNoteView)))
    def get(self, query: Loaded, number: str) -> paging.Listed:
        """List a job's surface notes, the last recorded first."""
        job = finding.job(number)
        return paging.page(query, lambda a, n: surface.list_notes(job, a, n))

    @blp.arguments(SurfaceNoteIn)
    @writes(role="hand")
    @blp.response(201, answer(SurfaceNoteWithWarningsView))
    def post(self, body: Loaded, number: str) -> Any:
        """Note what happened to a surface."""
        job = finding.job(number)
        return surface.note_surface(job, **body, now=now(), hand=hand()), 201


@blp.route("/<code:number>/surface-notes/<id:record>/withdrawal")
class SurfaceNoteWithdrawal(MethodView):
    """The withdrawal of a surface note."""

    @blp.arguments(ReasonIn)
    @writes(role="hand")
    @blp.response(201, answer(WithdrawnView))
    def post(self, body: Loaded, number: str, record: int) -> Any:
        """Take back a surface note; it stays on record."""
        job = finding.job(number)
        return take_back("surface_note", job, record, **body, now=now(), hand=hand()), 201
