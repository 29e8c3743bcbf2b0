"""Thickness, fibre and resin of a stack; and how many plies fill a thickness."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from ....acts.estimates import laminate
from ....acts.estimates.laminate import LaminateView, PliesView
from ....core.amounts.quantities import AREA, SIZE
from ....core.estimates.laminate import METHODS, SURFACES
from ... import fields
from ...fields.views import answer
from ...http.access import reads
from .base import SumIn, blp
from .stack import stack_field


class LaminateIn(SumIn):
    """A stack, and if known its resin and its area."""

    stack = stack_field()
    resin = fields.Code()
    catalyst = fields.Code()
    area = fields.Quantity(AREA, positive=True)
    method = fields.Choice(METHODS)
    surface = fields.Choice(SURFACES)


class PliesIn(SumIn):
    """A thickness, and the stack that is laid over and over to fill it."""

    thickness = fields.Quantity(SIZE, required=True, positive=True)
    stack = stack_field()
    resin = fields.Code()
    surface = fields.Choice(SURFACES)


@blp.route("/laminate")
class Stack(MethodView):
    """A stack of plies."""

    @blp.arguments(LaminateIn)
    @reads()
    @blp.response(200, answer(LaminateView))
    def post(self, body: dict[str, Any]) -> Any:
        """Work out a laminate."""
        return laminate.stack(**body)


@blp.route("/plies")
class Plies(MethodView):
    """Plies for a thickness."""

    @blp.arguments(PliesIn)
    @reads()
    @blp.response(200, answer(PliesView))
    def post(self, body: dict[str, Any]) -> Any:
        """Count the plies that fill a thickness."""
        return laminate.plies(**body)
