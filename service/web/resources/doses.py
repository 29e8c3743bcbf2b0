"""Doses: what to weigh, and when it goes off; nothing is drawn."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from ...acts.bays.air import AirTakenView
from ...acts.pots import dose as dose_pot
from ...acts.products.cure_sheet_views import LawView
from ...core.amounts.quantities import (
    DIFFERENCE,
    DOSE_MASS,
    DOSE_VOLUME,
    GEL_TIME,
    MASS,
    TEMPERATURE,
    VOLUME,
)
from .. import fields
from ..context.request import now
from ..fields.schemas import Answer, Body
from ..fields.views import answer
from ..http.access import reads
from ..http.blueprint import Blueprint

blp = Blueprint("doses", __name__, url_prefix="/v1/doses", description="The sum alone.")


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

    law = fields.Nested(answer(LawView))
    extrapolated = fields.Flag()
    temperature = fields.Quantity(TEMPERATURE)
    uncertainty = fields.Quantity(DIFFERENCE)
    temperature_basis = fields.Choice(("given", "bay"))
    air = fields.Nested(answer(AirTakenView), allow_none=True)
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


@blp.route("")
class Doses(MethodView):
    """The sum alone: nothing is drawn, so nothing is kept."""

    @blp.arguments(DoseAloneIn)
    @reads()
    @blp.response(200, DoseOut)
    def post(self, body: dict[str, Any]) -> Any:
        """Work out a dose."""
        return dose_pot.dose_pot(**body, now=now())
