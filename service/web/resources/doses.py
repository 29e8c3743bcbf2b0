"""Doses and pots: what to weigh, drawn or not."""

from __future__ import annotations

from operator import itemgetter
from typing import Any

from flask.views import MethodView

from ...acts import dose_pot, finding, list_stock, mix, observe, pot_card
from ...core.quantities import (
    COUNT,
    DIFFERENCE,
    DOSE_MASS,
    DOSE_VOLUME,
    GEL_TIME,
    LENGTH,
    MASS,
    TEMPERATURE,
    VOLUME,
)
from .. import fields, paging
from ..access import reads, writes
from ..blueprint import Blueprint
from ..request import hand, now
from ..schemas import Answer, Body
from .cure import LawOut
from .lots import STOCK, MovementOut
from .movements import ReasonIn

doses = Blueprint("doses", __name__, url_prefix="/v1/doses", description="The sum alone.")
batches = Blueprint("batches", __name__, url_prefix="/v1/batches", description="Pots mixed.")


class DoseIn(Body):
    """A pot: so much resin, so warm, to gel in a wanted time or at a percent."""

    resin = fields.Code(required=True)
    amount = fields.AnyQuantity((MASS, VOLUME), required=True, positive=True)
    catalyst = fields.Code()
    temperature = fields.Quantity(TEMPERATURE)
    bay = fields.Code()
    target_gel = fields.Quantity(GEL_TIME, positive=True)
    catalyst_percent = fields.Number(above=0, most=100)
    mixing = fields.Quantity(GEL_TIME)


class DoseAloneIn(DoseIn):
    """A pot that is only worked out."""

    filled = fields.Flag()


class FillerIn(Body):
    """Something stirred in."""

    product = fields.Code(required=True)
    quantity = fields.AnyQuantity(STOCK, required=True, positive=True)


class BatchIn(DoseIn):
    """A pot to mix for a job."""

    job = fields.Code(required=True)
    resin_lot = fields.Integer(least=1)
    catalyst_lot = fields.Integer(least=1)
    fillers = fields.List(fields.Nested(FillerIn), most=20)
    mixed_at = fields.Moment()
    override = fields.Nested(ReasonIn)


class MeasuredOut(Answer):
    """What to weigh, or to measure."""

    product = fields.Code(allow_none=True)
    mass = fields.Quantity(DOSE_MASS)
    volume = fields.Quantity(DOSE_VOLUME, allow_none=True)


class GelOut(Answer):
    """The cup's gel time with its band."""

    time = fields.Quantity(GEL_TIME)
    earliest = fields.Quantity(GEL_TIME)
    latest = fields.Quantity(GEL_TIME)


class PotOut(Answer):
    """The pot goes off sooner than the cup."""

    at_most = fields.Quantity(GEL_TIME)
    working_time = fields.Quantity(GEL_TIME)


class FilmOut(Answer):
    """A film goes off later than the cup."""

    time = fields.Quantity(GEL_TIME, allow_none=True)
    note = fields.Text()


class BasisOut(Answer):
    """What a dose rests on."""

    law = fields.Nested(LawOut)
    extrapolated = fields.Flag()
    temperature = fields.Quantity(TEMPERATURE)
    uncertainty = fields.Quantity(DIFFERENCE)
    temperature_basis = fields.Choice(("given", "bay"))
    factor = fields.Number()
    factor_basis = fields.Text()
    cure_revision = fields.Integer()


class DoseOut(Answer):
    """A dose: what to weigh, and when it goes off."""

    resin = fields.Code()
    amount = fields.Quantity(DOSE_MASS)
    catalyst_percent = fields.Number(required=True)
    percent_as_measured = fields.Number(required=True)
    catalyst = fields.Nested(MeasuredOut, required=True)
    gel = fields.Nested(GelOut, required=True)
    pot = fields.Nested(PotOut)
    film = fields.Nested(FilmOut)
    limited_by = fields.Text(allow_none=True)
    basis = fields.Nested(BasisOut)
    cautions = fields.List(fields.Text())
    warnings = fields.List(fields.Text())
    advice = fields.List(fields.Text())


class PartOut(Answer):
    """What is in a pot of one lot, by scale and by measure."""

    product = fields.Code(required=True)
    lot = fields.Integer(required=True)
    number = fields.Code(required=True)
    container = fields.Text(required=True)
    quantity = fields.AnyQuantity((DOSE_MASS, LENGTH, COUNT), required=True)
    volume = fields.Quantity(DOSE_VOLUME, required=True, allow_none=True)


class PotSeenOut(Answer):
    """What was seen of a pot."""

    kind = fields.Choice(observe.POT_KINDS, required=True)
    at = fields.Moment(required=True)
    note = fields.Text(required=True, allow_none=True)
    who = fields.Text(required=True)
    verified = fields.Flag(required=True)


class BatchOut(DoseOut):
    """The mix card of a pot."""

    id = fields.Integer(required=True)
    job = fields.Code(required=True)
    resin_lot = fields.Integer()
    catalyst_lot = fields.Integer(allow_none=True)
    draws = fields.List(fields.Nested(MovementOut))
    parts = fields.List(fields.Nested(PartOut), required=True)
    mixed_at = fields.Moment()
    gel_at = fields.Moment(rounding="down")
    gel_at_earliest = fields.Moment(rounding="down")
    gel_at_latest = fields.Moment(rounding="up")
    who = fields.Text()
    verified = fields.Flag()


class CardOut(BatchOut):
    """The mix card of a pot, and what became of it."""

    state = fields.Choice(pot_card.STATES, required=True)
    observations = fields.List(fields.Nested(PotSeenOut), required=True)


class PotSeenIn(Body):
    """What a hand saw of a pot."""

    kind = fields.Choice(observe.POT_KINDS, required=True)
    at = fields.Moment()
    note = fields.Text(most=1000)


class BatchPage(paging.Page):
    """Which pots to list."""

    job = fields.Code(load_default=None)


@doses.route("")
class Doses(MethodView):
    """The sum alone: nothing is drawn, so nothing is kept."""

    @doses.arguments(DoseAloneIn)
    @reads()
    @doses.response(200, DoseOut)
    def post(self, body: dict[str, Any]) -> Any:
        """Work out a dose."""
        return dose_pot.dose_pot(**body, now=now())


@batches.route("")
class Batches(MethodView):
    """Pots."""

    @batches.arguments(BatchPage, location="query")
    @reads()
    @batches.response(200, paging.listing(BatchOut))
    def get(self, query: dict[str, Any]) -> dict[str, Any]:
        """List pots, newest first."""
        return paging.page(
            query, lambda a, n: list_stock.list_batches(a, n, job=query["job"]), itemgetter("id")
        )

    @batches.arguments(BatchIn)
    @writes(role="hand")
    @batches.response(201, BatchOut)
    def post(self, body: dict[str, Any]) -> Any:
        """Mix a pot: dosed, drawn and recorded, or nothing of it."""
        batch = mix.mix(**body, now=now(), hand=hand())
        return batch, 201, {"Location": f"/v1/batches/{batch['id']}"}


@batches.route("/<id:batch>")
class Batch(MethodView):
    """One pot."""

    @reads()
    @batches.response(200, CardOut)
    def get(self, batch: int) -> Any:
        """Show a pot as it was told when it was mixed, and what was seen of it since."""
        return pot_card.show_card(finding.batch(batch))


@batches.route("/<id:batch>/observations")
class PotObservations(MethodView):
    """What hands saw of a pot."""

    @batches.arguments(PotSeenIn)
    @writes(role="hand")
    @batches.response(201, CardOut)
    def post(self, body: dict[str, Any], batch: int) -> Any:
        """Record what was seen of a pot; 'not_mixed' puts back what was drawn."""
        return observe.observe_pot(finding.batch(batch), **body, now=now(), hand=hand()), 201
