"""Pots mixed: dosed, drawn, and what was seen of them."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from ...acts.pots import lists, mix, observe, take_back
from ...acts.pots.card import KINDS, BatchView, CardView, show_card
from ...acts.yard import finding
from ...core.products.fillers import CONSISTENCIES
from ...store.engine.turns import Turn
from .. import fields
from ..context.request import hand, now
from ..fields.schemas import Body, Loaded
from ..fields.views import answer
from ..http import paging
from ..http.access import reads, writes
from ..http.blueprint import Blueprint
from .bodies import STOCK, ReasonIn
from .doses import BagIn, DoseIn

blp = Blueprint("batches", __name__, url_prefix="/v1/batches", description="Pots that were mixed.")


class PromoterIn(Body):
    """A promoter, stirred into the resin first."""

    product = fields.Code(required=True)
    quantity = fields.StockQuantity(STOCK, required=True, positive=True)


class FillerIn(Body):
    """Something stirred in: so much of it, or as much as gives a consistency by its sheet."""

    product = fields.Code(required=True)
    quantity = fields.StockQuantity(STOCK, positive=True)
    consistency = fields.Choice(CONSISTENCIES)


class BatchIn(DoseIn):
    """A pot to mix for a job."""

    job = fields.Code(required=True)
    resin_lot = fields.Integer(least=1)
    catalyst_lot = fields.Integer(least=1)
    fillers = fields.List(fields.Nested(FillerIn), most=20)
    promoter = fields.Nested(PromoterIn)
    mixed_at = fields.Moment()
    bag = fields.Nested(BagIn)
    override = fields.Nested(ReasonIn)


class PotSeenIn(Body):
    """What a hand saw of a pot."""

    kind = fields.Choice(KINDS, required=True)
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
    @blp.response(200, paging.listing(answer(BatchView)))
    def get(self, query: Loaded) -> paging.Listed:
        """List pots, newest first."""
        return paging.page(query, lambda a, n: lists.list_batches(a, n, job=query["job"]))

    @blp.arguments(BatchIn)
    @writes(role="hand", turn=Turn.BESIDE)
    @blp.response(201, answer(BatchView))
    def post(self, body: Loaded) -> Any:
        """Mix a pot: dose it, draw its materials and record it, all or nothing."""
        batch = mix.mix(**body, now=now(), hand=hand())
        return batch, 201, {"Location": f"/v1/batches/{batch.id}"}


@blp.route("/<id:batch>")
class Batch(MethodView):
    """One pot."""

    @reads()
    @blp.response(200, answer(CardView))
    def get(self, batch: int) -> Any:
        """Show a pot's mix card, and what was seen of it since."""
        return show_card(finding.batch(batch))


@blp.route("/<id:batch>/observations")
class PotObservations(MethodView):
    """Observations of a pot."""

    @blp.arguments(PotSeenIn)
    @writes(role="hand", turn=Turn.CLOCK)
    @blp.response(201, answer(CardView))
    def post(self, body: Loaded, batch: int) -> Any:
        """Record what was seen of a pot; 'not_mixed' returns what was drawn to stock."""
        return observe.observe_pot(finding.batch(batch), **body, now=now(), hand=hand()), 201


@blp.route("/<id:batch>/observations/<id:observation>/withdrawal")
class PotObservationWithdrawal(MethodView):
    """The withdrawal of an observation of a pot."""

    @blp.arguments(ReasonIn)
    @writes(role="hand", turn=Turn.CLOCK)
    @blp.response(201, answer(CardView))
    def post(self, body: Loaded, batch: int, observation: int) -> Any:
        """Take back an observation of a pot."""
        pot = finding.batch(batch)
        told = take_back.take_back_pot_seen(pot, observation, **body, now=now(), hand=hand())
        return told, 201
