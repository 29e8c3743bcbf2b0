"""The logbook: overrides, holds, releases, extensions, tokens, restores. Read, never edited."""

from __future__ import annotations

from operator import itemgetter

from flask.views import MethodView

from ...acts.yard.logbook import read_logbook
from .. import fields
from ..fields.schemas import Answer, Loaded
from ..http import paging
from ..http.access import reads
from ..http.blueprint import Blueprint

blp = Blueprint("logbook", __name__, url_prefix="/v1/logbook", description="Decisions on record.")


class EntryOut(Answer):
    """An entry: what was decided, about what, by whom and why."""

    id = fields.Integer(required=True)
    kind = fields.Text(required=True)
    about = fields.Text(required=True)
    reason = fields.Text(required=True, allow_none=True)
    at = fields.Moment(required=True)
    who = fields.Text(required=True)
    verified = fields.Flag(required=True)


@blp.route("")
class Logbook(MethodView):
    """The logbook."""

    @blp.arguments(paging.Page, location="query")
    @reads(role="lead")
    @blp.response(200, paging.listing(EntryOut))
    def get(self, query: Loaded) -> paging.Listed:
        """List entries, newest first."""
        return paging.page(query, read_logbook, itemgetter("id"))
