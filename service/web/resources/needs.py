"""Needs: what a job will take, the stock that is kept for it, and what is short."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from ...acts.jobs import need
from ...acts.jobs.need import PIECES_MAX, NeedsView
from ...acts.yard import finding
from ...core.amounts.quantities import SIZE
from .. import fields
from ..context.request import hand, now
from ..fields.schemas import Body, Loaded
from ..fields.views import answer
from ..http.access import reads, writes
from .bodies import STOCK, ReasonIn
from .jobs import blp as blp


class PieceIn(Body):
    """Pieces of one length, each cut from one roll."""

    length = fields.Quantity(SIZE, required=True, positive=True)
    count = fields.Integer(least=1, most=PIECES_MAX, load_default=1)


class NeedIn(Body):
    """One thing that a job will take."""

    product = fields.Code(required=True)
    quantity = fields.StockQuantity(STOCK)
    pieces = fields.List(fields.Nested(PieceIn), least=1, most=100)
    by = fields.Day()
    replaces = fields.Integer(least=1)


class NeedsIn(Body):
    """A job's new needs; they reserve stock from then on."""

    needs = fields.List(fields.Nested(NeedIn), least=1, most=50, required=True)
    override = fields.Nested(ReasonIn)


@blp.route("/<code:number>/needs")
class Needs(MethodView):
    """The needs of a job."""

    @reads()
    @blp.response(200, answer(NeedsView))
    def get(self, number: str) -> Any:
        """Show a job's needs: the lots kept for each, what is short, what will be out of date."""
        return need.show_needs(finding.job(number), now())

    @blp.arguments(NeedsIn)
    @writes(role="hand")
    @blp.response(201, answer(NeedsView))
    def post(self, body: Loaded, number: str) -> Any:
        """Add needs to a job, all or none; they reserve stock until drawn, or the job closes."""
        row = finding.job(number)
        wanted, override = body["needs"], body.get("override")
        return need.add_needs(row, wanted=wanted, override=override, now=now(), hand=hand()), 201
