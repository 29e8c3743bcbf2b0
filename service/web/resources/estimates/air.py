"""Dew point of the air, and whether a surface may be coated."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from ....acts.estimates import air
from ....core.amounts.quantities import TEMPERATURE
from ... import fields
from ...fields.schemas import Answer, Body, Loaded
from ...http.access import reads
from .base import blp


class DewPointIn(Body):
    """Air, and if known the surface that is to be coated."""

    air = fields.Quantity(TEMPERATURE, required=True)
    humidity_percent = fields.Number(above=0, most=100, required=True)
    surface = fields.Quantity(TEMPERATURE)


class DewPointOut(Answer):
    """The dew point, and what it means for the surface."""

    dew_point = fields.Quantity(TEMPERATURE, required=True)
    least_surface = fields.Quantity(TEMPERATURE, required=True)
    verdict = fields.Choice(("coat", "wait", "unknown"), required=True)
    cautions = fields.List(fields.Text(), required=True)


@blp.route("/dew-point")
class DewPoint(MethodView):
    """Air and surface."""

    @blp.arguments(DewPointIn)
    @reads()
    @blp.response(200, DewPointOut)
    def post(self, body: Loaded) -> Any:
        """Work out the dew point."""
        return air.dew_point(**body)
