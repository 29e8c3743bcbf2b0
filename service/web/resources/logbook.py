"""The logbook: overrides, holds, releases, extensions, tokens, restores. Read, never edited."""

from __future__ import annotations

from typing import NamedTuple

from flask.views import MethodView

from ...acts.yard.logbook import EntryView, head, read_logbook
from .. import fields
from ..fields.schemas import Loaded
from ..fields.views import answer
from ..http import paging
from ..http.access import reads
from ..http.blueprint import Blueprint

blp = Blueprint("logbook", __name__, url_prefix="/v1/logbook", description="Decisions on record.")


class LogbookPage(paging.listing(answer(EntryView))):  # type: ignore[misc]  # made as it runs
    """A page of the logbook."""

    head = fields.Text(required=True, allow_none=True)


class Page(NamedTuple):
    """A page of the logbook, and the head of the chain of seals."""

    items: list[EntryView]
    next: str | None
    head: str | None


@blp.route("")
class Logbook(MethodView):
    """The logbook."""

    @blp.arguments(paging.Page, location="query")
    @reads(role="lead")
    @blp.response(200, LogbookPage)
    def get(self, query: Loaded) -> Page:
        """List entries, newest first."""
        return Page(*paging.page(query, read_logbook), head())
