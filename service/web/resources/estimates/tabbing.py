"""A part taped in along its corners, and the putty under the tape."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from ....acts.estimates import tabbing
from ....core.amounts.quantities import AREA, LENGTH, MASS, SIZE, VOLUME
from ....core.estimates.ply_count import MOST_PLIES
from ... import fields
from ...fields.schemas import Answer, Body, Loaded
from ...http.access import reads
from .base import blp
from .needed import needs_field


class TabbingIn(Body):
    """A corner: `leg` is the widest ply's up each face, `sides` of the part that are taped."""

    length = fields.Quantity(LENGTH, required=True, positive=True)
    plies = fields.Integer(least=1, most=MOST_PLIES, required=True)
    leg = fields.Quantity(SIZE, required=True, positive=True)
    step = fields.Quantity(SIZE)
    radius = fields.Quantity(SIZE)
    angle = fields.Number(least=20, most=170)
    sides = fields.Integer(least=1, most=2)
    widest_first = fields.Flag()
    putty = fields.Code()
    cloth = fields.Code()
    catalyst = fields.Code()


class TabOut(Answer):
    """One ply to cut, so many pieces of it."""

    ply = fields.Integer(required=True)
    leg = fields.Quantity(SIZE, required=True)
    length = fields.Quantity(SIZE, required=True)
    width = fields.Quantity(SIZE, required=True)
    pieces = fields.Integer(required=True)


class FilletOut(Answer):
    """The putty of all corners; `touches` is how far up each face it comes."""

    touches = fields.Quantity(SIZE, required=True)
    volume = fields.Quantity(VOLUME, required=True)
    waste = fields.Quantity(VOLUME, required=True)
    mass = fields.Quantity(MASS, required=True, allow_none=True)


class TabbingOut(Answer):
    """What to cut, in the order laid, and the putty."""

    plies = fields.List(fields.Nested(TabOut), required=True)
    area = fields.Quantity(AREA, required=True)
    fillet = fields.Nested(FilletOut, required=True)
    needs = needs_field()
    cautions = fields.List(fields.Text(), required=True)


@blp.route("/tabbing")
class Tabbing(MethodView):
    """A part taped in."""

    @blp.arguments(TabbingIn)
    @reads()
    @blp.response(200, TabbingOut)
    def post(self, body: Loaded) -> Any:
        """Work out a tabbing and its fillet."""
        return tabbing.taped(**body)
