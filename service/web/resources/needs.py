"""Needs: what a job will take, what is reserved for it, and what is short."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from ...acts.jobs import need
from ...acts.yard import finding
from ...core.amounts.quantities import COUNT, LENGTH, MASS, SIZE
from .. import fields
from ..context.request import hand, now
from ..fields.schemas import Answer, Body, Loaded
from ..http.access import reads, writes
from .jobs import blp as blp
from .lots import STOCK
from .movements import ReasonIn

IN_STOCK = (MASS, LENGTH, COUNT)


class PieceIn(Body):
    """Pieces of one length, each cut from one roll."""

    length = fields.Quantity(SIZE, required=True, positive=True)
    count = fields.Integer(least=1, most=need.PIECES_MAX, load_default=1)


class NeedIn(Body):
    """One thing that a job will take."""

    product = fields.Code(required=True)
    quantity = fields.StockQuantity(STOCK)
    pieces = fields.List(fields.Nested(PieceIn), least=1, most=100)
    by = fields.Day()
    replaces = fields.Integer(least=1)


class NeedsIn(Body):
    """What a job will take; it reserves stock from then on."""

    needs = fields.List(fields.Nested(NeedIn), least=1, most=50, required=True)
    override = fields.Nested(ReasonIn)


class PieceOut(Answer):
    """Pieces of one length."""

    length = fields.Quantity(LENGTH)
    count = fields.Integer()


class NeedLotOut(Answer):
    """So much of a lot."""

    id = fields.Integer(required=True)
    number = fields.Code()
    container = fields.Text()
    quantity = fields.AnyQuantity(IN_STOCK)
    expires_on = fields.Day(allow_none=True)


class NeedOut(Answer):
    """A need as of now."""

    id = fields.Integer(required=True)
    product = fields.Code(required=True)
    name = fields.Text()
    quantity = fields.AnyQuantity(IN_STOCK, required=True)
    pieces = fields.List(fields.Nested(PieceOut))
    by = fields.Day(allow_none=True)
    drawn = fields.AnyQuantity(IN_STOCK, required=True)
    reserved = fields.AnyQuantity(IN_STOCK, required=True)
    short = fields.AnyQuantity(IN_STOCK, required=True)
    lots = fields.List(fields.Nested(NeedLotOut))
    out_of_date = fields.List(fields.Nested(NeedLotOut))
    recorded_at = fields.Moment()
    who = fields.Text()


class NeedsOut(Answer):
    """A job's needs."""

    job = fields.Code(required=True)
    needs = fields.List(fields.Nested(NeedOut), required=True)


@blp.route("/<code:number>/needs")
class Needs(MethodView):
    """The needs of a job."""

    @reads()
    @blp.response(200, NeedsOut)
    def get(self, number: str) -> Any:
        """Show a job's needs: what is reserved, what is short, what will be out of date."""
        return need.show_needs(finding.job(number), now())

    @blp.arguments(NeedsIn)
    @writes(role="hand")
    @blp.response(201, NeedsOut)
    def post(self, body: Loaded, number: str) -> Any:
        """Add needs to a job, all or none; they reserve stock until drawn, or the job closes."""
        row = finding.job(number)
        wanted, override = body["needs"], body.get("override")
        return need.add_needs(row, wanted=wanted, override=override, now=now(), hand=hand()), 201
