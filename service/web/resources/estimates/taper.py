"""The taper of a repair, and every ply's cut size."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from ....acts.estimates import taper
from ....core.amounts.quantities import AREA, LENGTH, SIZE
from ....core.estimates.outlines import HOLES
from ....core.estimates.ply_count import MOST_PLIES
from ....core.estimates.taper import ORDERS
from ... import fields
from ...fields.schemas import Answer, Body, Loaded
from ...http.access import reads
from .base import blp
from .needed import needs_field
from .stack import stack_field

VERDICTS = ("pass", "caution", "stop")


class HoleIn(Body):
    """A hole; without a shape it is round, or rectangular if it has a width."""

    shape = fields.Choice(HOLES)
    length = fields.Quantity(SIZE, required=True, positive=True)
    width = fields.Quantity(SIZE, positive=True)
    corner = fields.Quantity(SIZE)


class TaperIn(Body):
    """A patch over a hole, or a seam; `room` is what one long side has to be ground."""

    shape = fields.Choice(("patch", "seam"), required=True)
    length = fields.Quantity(LENGTH, positive=True)
    hole = fields.Nested(HoleIn)
    thickness = fields.Quantity(SIZE, positive=True)
    ratio = fields.Number(least=1, most=100)
    sides = fields.Integer(least=1, most=2)
    plies = fields.Integer(least=1, most=MOST_PLIES)
    stack = stack_field(required=False)
    resin = fields.Code()
    catalyst = fields.Code()
    room = fields.Quantity(SIZE, positive=True)
    order = fields.Choice(ORDERS)
    structural = fields.Choice(("yes", "no", "unknown"))


class CutOut(Answer):
    """One ply to cut: `ply` counts in the order laid, `reach` is past the edge, a side.

    `short_reach` is the same on the long side that is short of room.
    """

    ply = fields.Integer(required=True)
    face = fields.Integer(required=True)
    name = fields.Text(required=True)
    shape = fields.Choice((*HOLES, "seam"), required=True)
    length = fields.Quantity(SIZE, required=True)
    width = fields.Quantity(SIZE, required=True)
    corner = fields.Quantity(SIZE, required=True, allow_none=True)
    reach = fields.Quantity(SIZE, required=True)
    short_reach = fields.Quantity(SIZE, required=True)


class ShortSideOut(Answer):
    """The side that has too little room, and the ratio that it gets."""

    room = fields.Quantity(SIZE, required=True)
    ratio = fields.Number(required=True)


class OrdersOut(Answer):
    """Ply numbers in the order laid: ply 1 lies against the old laminate in both."""

    smallest_first = fields.List(fields.Integer(), required=True)
    largest_first = fields.List(fields.Integer(), required=True)


class SizesOut(Answer):
    """Every ply's size in each order."""

    smallest_first = fields.List(fields.Nested(CutOut), required=True)
    largest_first = fields.List(fields.Nested(CutOut), required=True)


class MeaningOut(Answer):
    """What each order means when the repair is ground flush."""

    smallest_first = fields.Text(required=True)
    largest_first = fields.Text(required=True)


class TaperOut(Answer):
    """What to grind and what to cut; `ground_width` is one side's, on each face."""

    ground_width = fields.Quantity(SIZE, required=True)
    ground_depth = fields.Quantity(SIZE, required=True)
    short_side = fields.Nested(ShortSideOut, required=True, allow_none=True)
    thickness = fields.Quantity(SIZE, required=True)
    left_over = fields.Quantity(SIZE, required=True)
    proud = fields.Quantity(SIZE, required=True)
    order = fields.Choice(ORDERS, required=True)
    orders = fields.Nested(OrdersOut, required=True)
    sizes = fields.Nested(SizesOut, required=True)
    plies = fields.List(fields.Nested(CutOut), required=True)
    area = fields.Quantity(AREA, required=True)
    meaning = fields.Nested(MeaningOut, required=True)
    verdict = fields.Choice(VERDICTS, required=True)
    needs = needs_field()
    cautions = fields.List(fields.Text(), required=True)
    advice = fields.List(fields.Text(), required=True)


@blp.route("/taper")
class Taper(MethodView):
    """A patch or a seam."""

    @blp.arguments(TaperIn)
    @reads()
    @blp.response(200, TaperOut)
    def post(self, body: Loaded) -> Any:
        """Work out a taper and its plies."""
        return taper.taper(**body)
