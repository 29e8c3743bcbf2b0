"""Plies laid out on rolls: the cut list, or with `Accept: image/svg+xml` its drawing."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from ....acts.estimates import roll
from ....core.amounts.quantities import AREA, LENGTH, SIZE
from ....core.estimates.laminate import FABRICS
from ....core.estimates.nesting import MOST_PIECES
from ... import fields
from ...context.request import now, units
from ...drawings.cuts import draw
from ...fields.schemas import Answer, Body, Loaded
from ...http.access import reads
from .base import blp
from .cuts import SHAPES, SVG, LaidOut, drawn, wants_drawing
from .needed import needs_field


class PlyToCutIn(Body):
    """So many plies alike; `length` is along the fibre, `width` across."""

    name = fields.Text(most=60)
    shape = fields.Choice(SHAPES)
    length = fields.Quantity(SIZE, required=True, positive=True)
    width = fields.Quantity(SIZE, positive=True)
    count = fields.Integer(least=1, most=MOST_PIECES, load_default=1)


class RollIn(Body):
    """Plies, and the product that they are cut from, or the width of any roll.

    `fabric` says how plies may be turned: mat and woven a quarter, others only half round.
    Without it they keep their direction. `job` may take what is reserved for it.
    """

    product = fields.Code()
    width = fields.Quantity(SIZE, positive=True)
    fabric = fields.Choice(FABRICS)
    plies = fields.List(fields.Nested(PlyToCutIn), least=1, most=MOST_PIECES, required=True)
    job = fields.Code()


class RollUsedOut(Answer):
    """A roll of the store, or without a lot one to buy, and what is cut from it."""

    lot = fields.Integer(required=True, allow_none=True)
    number = fields.Code(required=True, allow_none=True)
    container = fields.Text(required=True, allow_none=True)
    free = fields.Quantity(LENGTH, required=True, allow_none=True)
    length = fields.Quantity(LENGTH, required=True)
    cuts = fields.List(fields.Nested(LaidOut), required=True)


class HalfOut(Answer):
    """So much of a roll for one half of a ply."""

    lot = fields.Integer(required=True)
    number = fields.Code(required=True)
    container = fields.Text(required=True)
    length = fields.Quantity(SIZE, required=True)


class SplitPlyOut(Answer):
    """A ply that is on no one roll, and the two that would do if it were split.

    `before_others` says that they do only if no other ply of the list is cut from them.
    """

    ply = fields.Integer(required=True)
    overlap = fields.Quantity(SIZE, required=True)
    joints_apart = fields.Quantity(SIZE, required=True)
    before_others = fields.Flag(required=True)
    parts = fields.List(fields.Nested(HalfOut), required=True)


class RollOut(Answer):
    """The cut list; `bound` is the length that the pieces' rectangles alone would fill."""

    product = fields.Code(required=True, allow_none=True)
    width = fields.Quantity(SIZE, required=True)
    turn = fields.Choice(("quarter", "half"), required=True)
    length = fields.Quantity(LENGTH, required=True)
    bound = fields.Quantity(LENGTH, required=True)
    waste = fields.Quantity(AREA, required=True)
    waste_percent = fields.Number(required=True)
    rolls = fields.List(fields.Nested(RollUsedOut), required=True)
    splits = fields.List(fields.Nested(SplitPlyOut), required=True)
    needs = needs_field()
    cautions = fields.List(fields.Text(), required=True)
    advice = fields.List(fields.Text(), required=True)


@blp.route("/roll")
class Roll(MethodView):
    """Plies on rolls."""

    @blp.or_as(SVG)
    @blp.arguments(RollIn)
    @reads()
    @blp.response(200, RollOut)
    def post(self, body: Loaded) -> Any:
        """Lay plies out on rolls, each in one piece and in its fibre direction.

        With `Accept: image/svg+xml` the answer is the drawing.
        """
        told = roll.roll(**body, now=now())
        if not wants_drawing():
            return told
        beds = [
            {**each, "width": told["width"], "heading": _heading(each)} for each in told["rolls"]
        ]
        return drawn(draw(f"Cuts of {told['product'] or 'a roll'}", beds, units()))


def _heading(roll: dict[str, Any]) -> str:
    if roll["lot"] is None:
        return "A roll to buy"
    return f"Lot {roll['number']}, container {roll['container']}"
