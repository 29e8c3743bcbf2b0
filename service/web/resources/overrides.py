"""Overrides: the trail of refusals that somebody set aside. It can be read, never edited."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from ...acts.yard.overrides import OverrideView, list_overrides
from ..fields.views import answer
from ..http import paging
from ..http.access import reads
from ..http.blueprint import Blueprint

blp = Blueprint("overrides", __name__, url_prefix="/v1/overrides", description="What was allowed.")


@blp.route("")
class Overrides(MethodView):
    """The trail."""

    @blp.arguments(paging.Page, location="query")
    @reads(role="lead")
    @blp.response(200, paging.listing(answer(OverrideView)))
    def get(self, query: dict[str, Any]) -> dict[str, Any]:
        """List overrides, newest first."""
        return paging.page(query, list_overrides)
