"""A mix shared out into pots."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from ....acts.estimates import pots
from ....acts.estimates.pots import PotsView
from ....core.amounts.quantities import AREA, GEL_TIME, MASS
from ... import fields
from ...context.request import now
from ...fields.views import answer
from ...http.access import reads
from ..doses import DoseAloneIn
from .base import blp


class PotsIn(DoseAloneIn):
    """A mix, and how fast it is spread: so much resin, or so much of the area, in a time."""

    spread = fields.AnyQuantity((MASS, AREA), required=True, positive=True)
    spread_time = fields.Quantity(GEL_TIME, required=True, positive=True)
    area = fields.Quantity(AREA, positive=True)
    start = fields.Moment()


@blp.route("/pots")
class Pots(MethodView):
    """Pots of a mix."""

    @blp.arguments(PotsIn)
    @reads()
    @blp.response(200, answer(PotsView))
    def post(self, body: dict[str, Any]) -> Any:
        """Share a mix out into pots."""
        return pots.run(**body, now=now())
