"""Overrides: the record of refusals that somebody set aside; never edited."""

from __future__ import annotations

from operator import itemgetter

from flask.views import MethodView

from ...acts.yard import overrides as list_overrides
from .. import fields
from ..fields.schemas import Answer, Loaded
from ..http import paging
from ..http.access import reads
from ..http.blueprint import Blueprint

blp = Blueprint(
    "overrides", __name__, url_prefix="/v1/overrides", description="Refusals that were set aside."
)


class OverrideOut(Answer):
    """A refusal set aside."""

    id = fields.Integer(required=True)
    slug = fields.Text(required=True)
    reason = fields.Text(required=True)
    lot = fields.Integer(allow_none=True)
    movement = fields.Integer(allow_none=True)
    batch = fields.Integer(allow_none=True)
    layup = fields.Integer(allow_none=True)
    job = fields.Code(allow_none=True)
    who = fields.Text(required=True)
    recorded_at = fields.Moment(required=True)


@blp.route("")
class Overrides(MethodView):
    """The overrides."""

    @blp.arguments(paging.Page, location="query")
    @reads(role="lead")
    @blp.response(200, paging.listing(OverrideOut))
    def get(self, query: Loaded) -> paging.Listed:
        """List overrides, newest first."""
        return paging.page(query, list_overrides.list_overrides, itemgetter("id"))
