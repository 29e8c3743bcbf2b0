"""Moisture meters and their scales."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from ...acts.wetness import meters
from ...acts.wetness.meters import MeterView
from ...core.wetness.readings import MEASURES, METER_KINDS
from .. import fields
from ..context.request import hand, now
from ..fields.schemas import Body, Loaded
from ..fields.views import answer
from ..http import paging
from ..http.access import reads, writes
from ..http.blueprint import Blueprint

blp = Blueprint(
    "meters", __name__, url_prefix="/v1/meters", description="Moisture meters and their scales."
)

WIDEST = 1_000_000
"""The greatest number of a scale."""


class MeterModeIn(Body):
    """A mode of a meter; only pins in wood measure percent."""

    name = fields.Text(required=True, most=40)
    measures = fields.Choice(MEASURES, load_default="points")


class MeterIn(Body):
    """A moisture meter to add."""

    code = fields.Code(required=True)
    title = fields.Text(required=True)
    kind = fields.Choice(METER_KINDS, required=True)
    scale_from = fields.Number(least=-WIDEST, most=WIDEST, load_default=0)
    scale_to = fields.Number(least=-WIDEST, most=WIDEST, required=True)
    modes = fields.List(fields.Nested(MeterModeIn), least=1, most=20, required=True)


@blp.route("")
class Meters(MethodView):
    """The yard's moisture meters."""

    @blp.arguments(paging.Page, location="query")
    @reads()
    @blp.response(200, paging.listing(answer(MeterView)))
    def get(self, query: Loaded) -> paging.Listed:
        """List moisture meters."""
        return paging.page(query, meters.list_meters)

    @blp.arguments(MeterIn)
    @writes(role="lead")
    @blp.response(201, answer(MeterView))
    def post(self, body: Loaded) -> Any:
        """Add a moisture meter."""
        added = meters.add_meter(**body, now=now(), hand=hand())
        return added, 201, {"Location": f"/v1/meters/{added.code}"}


@blp.route("/<code:code>")
class Meter(MethodView):
    """One moisture meter."""

    @reads()
    @blp.response(200, answer(MeterView))
    def get(self, code: str) -> Any:
        """Show a moisture meter."""
        return meters.show_meter(code)
