"""Findings: damage or wetness at a place of the boat."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from ...acts.wetness import findings
from ...acts.wetness.findings import KINDS, SIDES, FindingView, FindingWithWarningsView
from ...acts.wetness.taken_back import take_back
from ...acts.yard import finding
from ...acts.yard.taken_back import WithdrawnView
from ...core.amounts.quantities import SIZE
from .. import fields
from ..context.request import hand, now
from ..fields.schemas import Body, Loaded
from ..fields.views import answer
from ..http import paging
from ..http.access import reads, writes
from .bodies import ReasonIn
from .jobs import blp as blp


class FindingIn(Body):
    """What was found at a place; without a depth it was not opened."""

    place = fields.Text(required=True, most=80)
    side = fields.Choice(SIDES, required=True)
    kind = fields.Choice(KINDS, required=True)
    length = fields.Quantity(SIZE, required=True, positive=True)
    width = fields.Quantity(SIZE, required=True, positive=True)
    depth = fields.Quantity(SIZE, positive=True)
    found_by = fields.Text(required=True)
    note = fields.Text()
    at = fields.Moment()


@blp.route("/<code:number>/findings")
class Findings(MethodView):
    """The findings of a job."""

    @blp.arguments(paging.Page, location="query")
    @reads()
    @blp.response(200, paging.listing(answer(FindingView)))
    def get(self, query: Loaded, number: str) -> paging.Listed:
        """List a job's findings, the last recorded first."""
        job = finding.job(number)
        return paging.page(query, lambda a, n: findings.list_findings(job, a, n))

    @blp.arguments(FindingIn)
    @writes(role="hand")
    @blp.response(201, answer(FindingWithWarningsView))
    def post(self, body: Loaded, number: str) -> Any:
        """Record a finding."""
        job = finding.job(number)
        return findings.record_finding(job, **body, now=now(), hand=hand()), 201


@blp.route("/<code:number>/findings/<id:record>/withdrawal")
class FindingWithdrawal(MethodView):
    """The withdrawal of a finding."""

    @blp.arguments(ReasonIn)
    @writes(role="hand")
    @blp.response(201, answer(WithdrawnView))
    def post(self, body: Loaded, number: str, record: int) -> Any:
        """Take back a finding; it stays on record."""
        job = finding.job(number)
        return take_back("finding", job, record, **body, now=now(), hand=hand()), 201
