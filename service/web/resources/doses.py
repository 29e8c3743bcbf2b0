"""Doses: what to weigh, and when it gels; nothing is drawn."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from ...acts.pots.dose import DoseView, dose_pot
from ...core.amounts.quantities import (
    GEL_TIME,
    MASS,
    TEMPERATURE,
    VOLUME,
)
from .. import fields
from ..context.request import now
from ..fields.schemas import Body, Loaded
from ..fields.views import answer
from ..http.access import reads
from ..http.blueprint import Blueprint

blp = Blueprint(
    "doses", __name__, url_prefix="/v1/doses", description="Doses, worked out and not mixed."
)


class BagIn(Body):
    """How long the work takes once a pot is stirred, until its bag is pumped down."""

    laying = fields.Quantity(GEL_TIME, positive=True, required=True)
    bagging = fields.Quantity(GEL_TIME, positive=True, required=True)
    pumping = fields.Quantity(GEL_TIME, positive=True, required=True)


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


class DoseWhyIn(DoseAloneIn):
    """A pot, its bag, and whether to say why its gel is so unsure."""

    budget = fields.Flag()
    bag = fields.Nested(BagIn)


@blp.route("")
class Doses(MethodView):
    """Doses: nothing is drawn, and nothing is kept."""

    @blp.arguments(DoseWhyIn)
    @reads()
    @blp.response(200, answer(DoseView))
    def post(self, body: Loaded) -> Any:
        """Work out a dose."""
        return dose_pot(**body, now=now())
