"""The logbook: overrides, holds, releases, extensions, tokens, restores. Read, never edited."""

from __future__ import annotations

from flask.views import MethodView

from ...acts.yard.logbook import EntryView, read_logbook
from ..fields.schemas import Loaded
from ..fields.views import answer
from ..http import paging
from ..http.access import reads
from ..http.blueprint import Blueprint

blp = Blueprint("logbook", __name__, url_prefix="/v1/logbook", description="Decisions on record.")


@blp.route("")
class Logbook(MethodView):
    """The logbook."""

    @blp.arguments(paging.Page, location="query")
    @reads(role="lead")
    @blp.response(200, paging.listing(answer(EntryView)))
    def get(self, query: Loaded) -> paging.Listed:
        """List entries, newest first."""
        return paging.page(query, read_logbook)
