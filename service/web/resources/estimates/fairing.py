"""Fairing a hollow."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from ....acts.estimates import fairing
from ....core.amounts.quantities import AREA, MASS, SIZE, VOLUME
from ... import fields
from ...fields.schemas import Answer, Body, Loaded
from ...http.access import reads
from .base import blp
from .needed import needs_field


class FairingIn(Body):
    """A hollow: its area and mean depth, and how proud it is filled to be sanded back."""

    area = fields.Quantity(AREA, required=True, positive=True)
    depth = fields.Quantity(SIZE, required=True, positive=True)
    coat_max = fields.Quantity(SIZE, positive=True)
    proud = fields.Quantity(SIZE)
    waste_percent = fields.Number(least=0, most=100)
    product = fields.Code()
    catalyst = fields.Code()


class FairingOut(Answer):
    """The coats, and the filler by line."""

    product = fields.Code(allow_none=True)
    coats = fields.Integer(required=True)
    coat = fields.Quantity(SIZE, required=True)
    fill = fields.Quantity(VOLUME, required=True)
    sanded = fields.Quantity(VOLUME, required=True)
    waste = fields.Quantity(VOLUME, required=True)
    mix = fields.Quantity(VOLUME, required=True)
    mix_a_coat = fields.Quantity(VOLUME, required=True)
    mass = fields.Quantity(MASS, required=True, allow_none=True)
    needs = needs_field()
    cautions = fields.List(fields.Text(), required=True)


@blp.route("/fairing")
class Fairing(MethodView):
    """A hollow."""

    @blp.arguments(FairingIn)
    @reads()
    @blp.response(200, FairingOut)
    def post(self, body: Loaded) -> Any:
        """Work out the filler and its coats."""
        return fairing.fill(**body)
