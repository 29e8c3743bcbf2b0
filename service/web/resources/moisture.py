"""Moisture readings of a job, and how wet its places read."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from ...acts.wetness import moisture
from ...acts.wetness.moisture import MoistureReadingView, MoistureReadingWithWarningsView
from ...acts.wetness.taken_back import take_back
from ...acts.wetness.wetness import WetnessView, show_wetness
from ...acts.yard import finding
from ...acts.yard.taken_back import WithdrawnView
from ...core.amounts.quantities import TEMPERATURE
from ...core.wetness.readings import LEAST_PLACEMENTS
from .. import fields
from ..context.request import hand, now
from ..fields.schemas import Body, Loaded
from ..fields.views import answer
from ..http import paging
from ..http.access import reads, writes
from .bodies import ReasonIn
from .jobs import blp as blp
from .meters import WIDEST

MOST_PLACEMENTS = 30


class MoistureReadingIn(Body):
    """A reading of a place by a meter, three placements or more."""

    place = fields.Text(required=True, most=80)
    meter = fields.Code(required=True)
    mode = fields.Text(required=True, most=40)
    placements = fields.List(
        fields.Number(least=-WIDEST, most=WIDEST),
        least=LEAST_PLACEMENTS, most=MOST_PLACEMENTS, required=True,
    )  # fmt: skip
    surface_temperature = fields.Quantity(TEMPERATURE, required=True)
    air = fields.Quantity(TEMPERATURE)
    humidity_percent = fields.Number(above=0, most=100)
    bay = fields.Code()
    dry_place = fields.Flag(load_default=False)
    at = fields.Moment()


@blp.route("/<code:number>/moisture-readings")
class MoistureReadings(MethodView):
    """The moisture readings of a job."""

    @blp.arguments(paging.Page, location="query")
    @reads()
    @blp.response(200, paging.listing(answer(MoistureReadingView)))
    def get(self, query: Loaded, number: str) -> paging.Listed:
        """List a job's moisture readings, the last recorded first."""
        job, at = finding.job(number), now()
        return paging.page(query, lambda a, n: moisture.list_readings(job, a, n, at))

    @blp.arguments(MoistureReadingIn)
    @writes(role="hand")
    @blp.response(201, answer(MoistureReadingWithWarningsView))
    def post(self, body: Loaded, number: str) -> Any:
        """Record a moisture reading; what does not count is kept, and says why."""
        job = finding.job(number)
        return moisture.read_moisture(job, **body, now=now(), hand=hand()), 201


@blp.route("/<code:number>/moisture-readings/<id:record>/withdrawal")
class MoistureReadingWithdrawal(MethodView):
    """The withdrawal of a moisture reading."""

    @blp.arguments(ReasonIn)
    @writes(role="hand")
    @blp.response(201, answer(WithdrawnView))
    def post(self, body: Loaded, number: str, record: int) -> Any:
        """Take back a moisture reading; it stays on record."""
        job = finding.job(number)
        return take_back("moisture_reading", job, record, **body, now=now(), hand=hand()), 201


@blp.route("/<code:number>/wetness")
class Wetness(MethodView):
    """How wet a job's places read."""

    @reads()
    @blp.response(200, answer(WetnessView))
    def get(self, number: str) -> Any:
        """Show how wet a job's places read, and when to measure again."""
        return show_wetness(finding.job(number), now())
