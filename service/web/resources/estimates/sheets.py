"""Pieces laid out on sheets: the cut list, or with `Accept: image/svg+xml` its drawing."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from ....acts.estimates import sheets
from ....core.amounts.quantities import AREA, COUNT, SIZE
from ....core.estimates.nesting import MOST_PIECES
from ....core.estimates.outlines import HOLES
from ... import fields
from ...context.request import now, units
from ...drawings.cuts import draw
from ...fields.schemas import Answer, Body, Loaded
from ...http.access import reads
from .base import blp
from .cuts import SVG, LaidOut, drawn, wants_drawing
from .needed import needs_field


class SheetPieceIn(Body):
    """So many pieces alike; `length` is along the grain. `turn` where the grain is nothing."""

    name = fields.Text(most=60)
    shape = fields.Choice(HOLES)
    length = fields.Quantity(SIZE, required=True, positive=True)
    width = fields.Quantity(SIZE, positive=True)
    turn = fields.Flag()
    count = fields.Integer(least=1, most=MOST_PIECES, load_default=1)


class SheetsIn(Body):
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


class OffcutOut(Answer):
    """What is left of a sheet in one piece; `share` is what it comes back as."""

    start = fields.Quantity(SIZE, required=True)
    edge = fields.Quantity(SIZE, required=True)
    length = fields.Quantity(SIZE, required=True)
    width = fields.Quantity(SIZE, required=True)
    share = fields.AskedAgain((COUNT,), required=True)


class SheetUsedOut(Answer):
    """An offcut or a whole sheet of the store, or without a lot one to buy."""

    lot = fields.Integer(required=True, allow_none=True)
    number = fields.Code(required=True, allow_none=True)
    container = fields.Text(required=True, allow_none=True)
    offcut = fields.Flag(required=True)
    length = fields.Quantity(SIZE, required=True)
    width = fields.Quantity(SIZE, required=True)
    cuts = fields.List(fields.Nested(LaidOut), required=True)
    offcuts = fields.List(fields.Nested(OffcutOut), required=True)


class SheetsOut(Answer):
    """The cut list; `count` is of whole sheets."""

    product = fields.Code(required=True, allow_none=True)
    job = fields.Code(required=True, allow_none=True)
    length = fields.Quantity(SIZE, required=True)
    width = fields.Quantity(SIZE, required=True)
    kerf = fields.Quantity(SIZE, required=True)
    count = fields.Integer(required=True)
    waste = fields.Quantity(AREA, required=True)
    waste_percent = fields.Number(required=True)
    sheets = fields.List(fields.Nested(SheetUsedOut), required=True)
    needs = needs_field()
    cautions = fields.List(fields.Text(), required=True)
    advice = fields.List(fields.Text(), required=True)


@blp.route("/sheets")
class Sheets(MethodView):
    """Pieces on sheets."""

    @blp.or_as(SVG)
    @blp.arguments(SheetsIn)
    @reads()
    @blp.response(200, SheetsOut)
    def post(self, body: Loaded) -> Any:
        """Lay pieces out on offcuts and sheets, along the grain and with room for the saw's kerf.

        With `Accept: image/svg+xml` the answer is the drawing.
        """
        told = sheets.sheets(**body, now=now())
        if not wants_drawing():
            return told
        beds = [{**each, "heading": _heading(each)} for each in told["sheets"]]
        return drawn(draw(f"Cuts of {told['product'] or 'sheets'}", beds, units()))


def _heading(sheet: dict[str, Any]) -> str:
    if sheet["lot"] is None:
        return "A sheet to buy"
    what = "Offcut" if sheet["offcut"] else "Sheet"
    return f"{what}, lot {sheet['number']}, container {sheet['container']}"
