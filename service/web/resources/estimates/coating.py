"""Coats of paint or gel coat over an area."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from ....acts.estimates import coating
from ....core.amounts.quantities import AREA, MASS, SIZE, VOLUME
from ... import fields
from ...fields.schemas import Answer, Body, Loaded
from ...http.access import reads
from .base import blp
from .needed import needs_field


class CoatingIn(Body):
    """An area and a film, wet or dry; percents by volume."""

    area = fields.Quantity(AREA, required=True, positive=True)
    coats = fields.Integer(least=1, most=50)
    wet_film = fields.Quantity(SIZE, positive=True)
    dry_film = fields.Quantity(SIZE, positive=True)
    solids_percent = fields.Number(above=0, most=100)
    thinner_percent = fields.Number(least=0, most=100)
    loss_percent = fields.Number(least=0, most=95)
    waste_percent = fields.Number(least=0, most=100)
    product = fields.Code()
    catalyst = fields.Code()


class CoatingOut(Answer):
    """What the coats take: unthinned paint by line, and its thinner."""

    product = fields.Code(allow_none=True)
    coats = fields.Integer(required=True)
    wet_film = fields.Quantity(SIZE, required=True)
    dry_film = fields.Quantity(SIZE, required=True, allow_none=True)
    litre_covers = fields.Quantity(AREA, required=True)
    on_part = fields.Quantity(VOLUME, required=True)
    loss = fields.Quantity(VOLUME, required=True)
    waste = fields.Quantity(VOLUME, required=True)
    paint = fields.Quantity(VOLUME, required=True)
    thinner = fields.Quantity(VOLUME, required=True)
    mass = fields.Quantity(MASS, required=True, allow_none=True)
    needs = needs_field()
    cautions = fields.List(fields.Text(), required=True)


@blp.route("/coating")
class Coating(MethodView):
    """Coats."""

    @blp.arguments(CoatingIn)
    @reads()
    @blp.response(200, CoatingOut)
    def post(self, body: Loaded) -> Any:
        """Work out paint and thinner."""
        return coating.coats(**body)
