"""Pieces laid out on sheets: the cut list, or with `Accept: image/svg+xml` its drawing."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from ....acts.estimates import sheets
from ....acts.estimates.sheets import SheetsView, SheetUsedView
from ....core.amounts.quantities import SIZE
from ....core.estimates.nesting import MOST_PIECES
from ....core.estimates.outlines import HOLES
from ... import fields
from ...context.request import now, units
from ...drawings.cuts import Bed, draw
from ...fields.schemas import Body
from ...fields.views import answer
from ...http.access import reads
from .base import SumIn, blp
from .cuts import SVG, drawn, wants_drawing


class SheetPieceIn(Body):
    """So many pieces alike; `length` is along the grain. `turn` where the grain is nothing."""

    name = fields.Text(most=60)
    shape = fields.Choice(HOLES)
    length = fields.Quantity(SIZE, required=True, positive=True)
    width = fields.Quantity(SIZE, positive=True)
    turn = fields.Flag()
    count = fields.Integer(least=1, most=MOST_PIECES, load_default=1)


class SheetsIn(SumIn):
    """Pieces, and the product that they are cut from, or the size of any sheet.

    `length` of a sheet is along its grain; without `kerf` it is 3 mm. `job` may take what is
    reserved for it.
    """

    product = fields.Code()
    length = fields.Quantity(SIZE, positive=True)
    width = fields.Quantity(SIZE, positive=True)
    kerf = fields.Quantity(SIZE)
    pieces = fields.List(fields.Nested(SheetPieceIn), least=1, most=MOST_PIECES, required=True)
    job = fields.Code()


@blp.route("/sheets")
class Sheets(MethodView):
    """Pieces on sheets."""

    @blp.or_as(SVG)
    @blp.arguments(SheetsIn)
    @reads()
    @blp.response(200, answer(SheetsView))
    def post(self, body: dict[str, Any]) -> Any:
        """Lay pieces out on offcuts and sheets, grain kept, the saw's kerf between them.

        With `Accept: image/svg+xml` the answer is the drawing.
        """
        found = sheets.sheets(**body, now=now())
        if not wants_drawing():
            return found
        beds = [Bed(_heading(each), each.length, each.width, each.cuts) for each in found.sheets]
        return drawn(draw(f"Cuts of {found.product or 'sheets'}", beds, units()))


def _heading(used: SheetUsedView) -> str:
    if used.lot is None:
        return "A sheet to buy"
    kind = "Offcut" if used.offcut else "Sheet"
    return f"{kind}, lot {used.number}, container {used.container}"
