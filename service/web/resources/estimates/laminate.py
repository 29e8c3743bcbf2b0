"""Thickness, fibre and resin of a stack; and how many plies fill a thickness."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from ....acts.estimates import laminate
from ....core.amounts.quantities import AREA, AREAL_WEIGHT, DENSITY, MASS, SIZE
from ....core.estimates.laminate import METHODS, SURFACES
from ... import fields
from ...fields.schemas import Answer, Body, Loaded
from ...http.access import reads
from .base import blp
from .needed import needs_field
from .stack import PlyOut, stack_field


class LaminateIn(Body):
    """A stack, and if known its resin and its area."""

    stack = stack_field()
    resin = fields.Code()
    catalyst = fields.Code()
    area = fields.Quantity(AREA, positive=True)
    method = fields.Choice(METHODS)
    surface = fields.Choice(SURFACES)


class CountedOut(Answer):
    """A stack counted one way."""

    method = fields.Choice(METHODS, required=True)
    thickness = fields.Quantity(SIZE, required=True)
    fibre_fraction = fields.Number(required=True)
    fibre_weight = fields.Quantity(AREAL_WEIGHT, required=True)
    resin_weight = fields.Quantity(AREAL_WEIGHT, required=True)
    fibre = fields.Quantity(MASS, required=True, allow_none=True)
    resin = fields.Quantity(MASS, required=True, allow_none=True)
    waste = fields.Quantity(MASS, required=True, allow_none=True)
    mix = fields.Quantity(MASS, required=True, allow_none=True)


class LaminateOut(CountedOut):
    """A stack counted as asked for; `other` is the other way, where there is one."""

    other = fields.Nested(CountedOut, required=True, allow_none=True)
    resin_density = fields.Quantity(DENSITY, required=True)
    plies = fields.List(fields.Nested(PlyOut), required=True)
    needs = needs_field()
    cautions = fields.List(fields.Text(), required=True)


class PliesIn(Body):
    """A thickness, and the stack that is laid over and over to fill it."""

    thickness = fields.Quantity(SIZE, required=True, positive=True)
    stack = stack_field()
    resin = fields.Code()
    surface = fields.Choice(SURFACES)


class PliesOut(Answer):
    """How many plies, and what is left over."""

    count = fields.Integer(required=True)
    thickness = fields.Quantity(SIZE, required=True)
    left_over = fields.Quantity(SIZE, required=True)
    one_more_stands_proud = fields.Quantity(SIZE, required=True)
    plies = fields.List(fields.Nested(PlyOut), required=True)
    advice = fields.List(fields.Text(), required=True)
    cautions = fields.List(fields.Text(), required=True)


MAT_AND_CLOTH = [
    {"areal_weight": "300 g/m2", "fabric": "mat", "count": 1},
    {"areal_weight": "600 g/m2", "fabric": "woven", "count": 1},
]


@blp.route("/laminate")
class Stack(MethodView):
    """A stack of plies."""

    @blp.arguments(LaminateIn)
    @reads()
    @blp.response(200, LaminateOut)
    def post(self, body: Loaded) -> Any:
        """Work out a laminate."""
        return laminate.stack(**body)


@blp.route("/plies")
class Plies(MethodView):
    """Plies for a thickness."""

    @blp.arguments(PliesIn)
    @reads()
    @blp.response(200, PliesOut)
    def post(self, body: Loaded) -> Any:
        """Count the plies that fill a thickness."""
        return laminate.plies(**body)
