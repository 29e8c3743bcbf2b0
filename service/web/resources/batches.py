"""Pots mixed: dosed, drawn, and what was seen of them."""

from __future__ import annotations

from operator import itemgetter
from typing import Any

from flask.views import MethodView

from ...acts.pots import card as pot_card
from ...acts.pots import lists as list_pots
from ...acts.pots import mix, observe, take_back
from ...acts.pots.card import PotSeenView
from ...acts.stock.draw import MovementView
from ...acts.yard import finding
from ...core.amounts.quantities import COUNT, DOSE_MASS, DOSE_VOLUME, LENGTH
from .. import fields
from ..context.request import hand, now
from ..fields.schemas import Answer, Body
from ..fields.views import answer
from ..http import paging
from ..http.access import reads, writes
from ..http.blueprint import Blueprint
from .doses import DoseIn, DoseOut
from .lots import STOCK
from .movements import ReasonIn

blp = Blueprint("batches", __name__, url_prefix="/v1/batches", description="Pots mixed.")


class FillerIn(Body):
    """Something stirred in."""

    product = fields.Code(required=True)
    quantity = fields.StockQuantity(STOCK, required=True, positive=True)


class BatchIn(DoseIn):
    """A pot to mix for a job."""

    job = fields.Code(required=True)
    resin_lot = fields.Integer(least=1)
    catalyst_lot = fields.Integer(least=1)
    fillers = fields.List(fields.Nested(FillerIn), most=20)
    promoter = fields.Nested(FillerIn)
    mixed_at = fields.Moment()
    override = fields.Nested(ReasonIn)


class PartOut(Answer):
    """What is in a pot of one lot, by scale and by measure."""

    product = fields.Code(required=True)
    lot = fields.Integer(required=True)
    number = fields.Code(required=True)
    container = fields.Text(required=True)
    quantity = fields.AnyQuantity((DOSE_MASS, LENGTH, COUNT), required=True)
    volume = fields.Quantity(DOSE_VOLUME, required=True, allow_none=True)


class PromoterOut(Answer):
    """What was stirred into the resin first, on its own, before the catalyst."""

    product = fields.Code(required=True)
    mass = fields.Quantity(DOSE_MASS, required=True)


class BatchOut(DoseOut):
    """The mix card of a pot."""

    id = fields.Integer(required=True)
    job = fields.Code(required=True)
    resin_lot = fields.Integer()
    catalyst_lot = fields.Integer(allow_none=True)
    draws = fields.List(fields.Nested(answer(MovementView)))
    parts = fields.List(fields.Nested(PartOut), required=True)
    promoter = fields.Nested(PromoterOut, allow_none=True)
    mixed_at = fields.Moment()
    gel_at = fields.Moment(rounding="down")
    gel_at_earliest = fields.Moment(rounding="down")
    gel_at_latest = fields.Moment(rounding="up")
    who = fields.Text()
    verified = fields.Flag()
    state = fields.Choice(pot_card.STATES)


class CardOut(BatchOut):
    """The mix card of a pot, and what became of it."""

    state = fields.Choice(pot_card.STATES, required=True)
    observations = fields.List(fields.Nested(answer(PotSeenView)), required=True)


class PotSeenIn(Body):
    """What a hand saw of a pot."""

    kind = fields.Choice(pot_card.KINDS, required=True)
    at = fields.Moment()
    note = fields.Text(most=1000)


class BatchPage(paging.Page):
    """Which pots to list."""

    job = fields.Code(load_default=None)


@blp.route("")
class Batches(MethodView):
    """Pots."""

    @blp.arguments(BatchPage, location="query")
    @reads()
    @blp.response(200, paging.listing(BatchOut))
    def get(self, query: dict[str, Any]) -> dict[str, Any]:
        """List pots, newest first."""
        return paging.page(
            query, lambda a, n: list_pots.list_batches(a, n, job=query["job"]), itemgetter("id")
        )

    @blp.arguments(BatchIn)
    @writes(role="hand")
    @blp.response(201, BatchOut)
    def post(self, body: dict[str, Any]) -> Any:
        """Mix a pot: dosed, drawn and recorded, or nothing of it."""
        batch = mix.mix(**body, now=now(), hand=hand())
        return batch, 201, {"Location": f"/v1/batches/{batch['id']}"}


@blp.route("/<id:batch>")
class Batch(MethodView):
    """One pot."""

    @reads()
    @blp.response(200, CardOut)
    def get(self, batch: int) -> Any:
        """Show a pot as it was told when it was mixed, and what was seen of it since."""
        return pot_card.show_card(finding.batch(batch))


@blp.route("/<id:batch>/observations")
class PotObservations(MethodView):
    """What hands saw of a pot."""

    @blp.arguments(PotSeenIn)
    @writes(role="hand")
    @blp.response(201, CardOut)
    def post(self, body: dict[str, Any], batch: int) -> Any:
        """Record what was seen of a pot; 'not_mixed' puts back what was drawn."""
        return observe.observe_pot(finding.batch(batch), **body, now=now(), hand=hand()), 201


@blp.route("/<id:batch>/observations/<id:observation>/withdrawal")
class PotObservationWithdrawal(MethodView):
    """What was noted of a pot, taken back."""

    @blp.arguments(ReasonIn)
    @writes(role="hand")
    @blp.response(201, CardOut)
    def post(self, body: dict[str, Any], batch: int, observation: int) -> Any:
        """Take back what was noted of a pot."""
        pot = finding.batch(batch)
        told = take_back.take_back_pot_seen(pot, observation, **body, now=now(), hand=hand())
        return told, 201
