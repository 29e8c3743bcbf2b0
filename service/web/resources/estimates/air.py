"""Dew point of the air, and whether a surface may be coated."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from ....core.amounts.quantities import TEMPERATURE
from ....core.bays import dew_point
from ....core.bays.dew_point import DewPointView
from ... import fields
from ...fields.views import answer
from ...http.access import reads
from .base import SumIn, blp


class DewPointIn(SumIn):
    """Air, and if known the surface that is to be coated."""

    air = fields.Quantity(TEMPERATURE, required=True)
    humidity_percent = fields.Number(above=0, most=100, required=True)
    surface = fields.Quantity(TEMPERATURE)


@blp.route("/dew-point")
class DewPoint(MethodView):
    """Air and surface."""

    @blp.arguments(DewPointIn)
    @reads()
    @blp.response(200, answer(DewPointView))
    def post(self, body: dict[str, Any]) -> Any:
        """Work out the dew point."""
        return dew_point.judge(**body)
