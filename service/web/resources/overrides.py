"""Overrides: the record of refusals that somebody set aside; never edited."""

from __future__ import annotations

from flask.views import MethodView

from ...acts.yard.overrides import OverrideView, list_overrides
from ..fields.schemas import Loaded
from ..fields.views import answer
from ..http import paging
from ..http.access import reads
from ..http.blueprint import Blueprint

blp = Blueprint(
    "overrides", __name__, url_prefix="/v1/overrides", description="Refusals that were set aside."
)


@blp.route("")
class Overrides(MethodView):
    """The overrides."""

    @blp.arguments(paging.Page, location="query")
    @reads(role="lead")
    @blp.response(200, paging.listing(answer(OverrideView)))
    def get(self, query: Loaded) -> paging.Listed:
        """List overrides, newest first."""
        return paging.page(query, list_overrides)
