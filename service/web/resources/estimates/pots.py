"""A mix shared out into pots."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from ....acts.estimates import pots
from ....core.amounts.quantities import AREA, DOSE_MASS, DOSE_VOLUME, GEL_TIME, MASS, TEMPERATURE
from ... import fields
from ...context.request import now
from ...fields.schemas import Answer, Loaded
from ...http.access import reads
from ..doses import DoseAloneIn
from .base import blp


class PotsIn(DoseAloneIn):
    """A mix, and how fast it is spread: so much resin, or so much of the area, in a time."""

    spread = fields.AnyQuantity((MASS, AREA), required=True, positive=True)
    spread_time = fields.Quantity(GEL_TIME, required=True, positive=True)
    area = fields.Quantity(AREA, positive=True)
    start = fields.Moment()


class PotTurnOut(Answer):
    """One pot: what to weigh, when to stir it, until when it must be down."""

    pot = fields.Integer(required=True)
    resin = fields.Quantity(DOSE_MASS, required=True)
    catalyst = fields.Quantity(DOSE_MASS, required=True)
    catalyst_volume = fields.Quantity(DOSE_VOLUME, required=True, allow_none=True)
    percent_as_measured = fields.Number(required=True)
    temperature = fields.Quantity(TEMPERATURE, required=True)
    mixed_at = fields.Moment(required=True)
    spread_from = fields.Moment(required=True)
    spread_until = fields.Moment(rounding="down", required=True)
    spread_before = fields.Moment(rounding="down", required=True)
    gel_earliest_at = fields.Moment(rounding="down", required=True)


class PotsOut(Answer):
    """The pots in their order."""

    resin = fields.Code(required=True)
    catalyst = fields.Code(required=True, allow_none=True)
    count = fields.Integer(required=True)
    limited_by = fields.Choice(("pot_max", "time"), required=True, allow_none=True)
    greatest_pot = fields.Quantity(MASS, required=True)
    resin_mass = fields.Quantity(MASS, required=True)
    catalyst_mass = fields.Quantity(DOSE_MASS, required=True)
    mix = fields.Quantity(MASS, required=True)
    finished_at = fields.Moment(rounding="up", required=True)
    pots = fields.List(fields.Nested(PotTurnOut), required=True)
    warnings = fields.List(fields.Text(), required=True)
    advice = fields.List(fields.Text(), required=True)
    cautions = fields.List(fields.Text(), required=True)


@blp.route("/pots")
class Pots(MethodView):
    """Pots of a mix."""

    @blp.arguments(PotsIn)
    @reads()
    @blp.response(200, PotsOut)
    def post(self, body: Loaded) -> Any:
        """Share a mix out into pots."""
        return pots.run(**body, now=now())
