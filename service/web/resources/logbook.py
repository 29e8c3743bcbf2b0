"""The logbook: overrides, holds, releases, extensions, tokens, restores. Read, never edited."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from ...acts.yard.logbook import EntryView, read_logbook
from ..fields.views import answer
from ..http import paging
from ..http.access import reads
from ..http.blueprint import Blueprint

blp = Blueprint(
    "logbook", __name__, url_prefix="/v1/logbook", description="What was decided beside the rules."
)


@blp.route("")
class Logbook(MethodView):
    """The book."""

    @blp.arguments(paging.Page, location="query")
    @reads(role="lead")
    @blp.response(200, paging.listing(answer(EntryView)))
    def get(self, query: dict[str, Any]) -> dict[str, Any]:
        """List entries, newest first."""
        return paging.page(query, read_logbook)
