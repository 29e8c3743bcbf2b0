"""Plies laid out on rolls: the cut list, or with `Accept: image/svg+xml` its drawing."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from ....acts.estimates import roll
from ....acts.estimates.roll import RollUsedView, RollView
from ....core.amounts.quantities import SIZE
from ....core.estimates.laminate import FABRICS
from ....core.estimates.nesting import MOST_PIECES
from ....core.estimates.outlines import SHAPES
from ... import fields
from ...context.request import now, units
from ...drawings.cuts import Bed, draw
from ...fields.schemas import Body
from ...fields.views import answer
from ...http.access import reads
from .base import SumIn, blp
from .cuts import SVG, drawn, wants_drawing


class PlyToCutIn(Body):
    """So many plies alike; `length` is along the fibre, `width` across."""

    name = fields.Text(most=60)
    shape = fields.Choice(SHAPES)
    length = fields.Quantity(SIZE, required=True, positive=True)
    width = fields.Quantity(SIZE, positive=True)
    count = fields.Integer(least=1, most=MOST_PIECES, load_default=1)


class RollIn(SumIn):
    """Plies, and the product that they are cut from, or the width of any roll.

    `fabric` says how plies may be turned: mat and woven a quarter, others only half round.
    Without it they keep their direction. `job` may take what is reserved for it.
    """

    product = fields.Code()
    width = fields.Quantity(SIZE, positive=True)
    fabric = fields.Choice(FABRICS)
    plies = fields.List(fields.Nested(PlyToCutIn), least=1, most=MOST_PIECES, required=True)
    job = fields.Code()


@blp.route("/roll")
class Roll(MethodView):
    """Plies on rolls."""

    @blp.or_as(SVG)
    @blp.arguments(RollIn)
    @reads()
    @blp.response(200, answer(RollView))
    def post(self, body: dict[str, Any]) -> Any:
        """Lay plies out on a roll, fibre direction kept, each of one piece.

        With `Accept: image/svg+xml` the answer is the drawing.
        """
        found = roll.roll(**body, now=now())
        if not wants_drawing():
            return found
        beds = [Bed(_heading(each), each.length, found.width, each.cuts) for each in found.rolls]
        return drawn(draw(f"Cuts of {found.product or 'a roll'}", beds, units()))


def _heading(used: RollUsedView) -> str:
    if used.lot is None:
        return "A roll to buy"
    return f"Lot {used.number}, container {used.container}"
