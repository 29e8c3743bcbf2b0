"""Pieces laid out on sheets: the cut list, or with `Accept: image/svg+xml` its drawing."""

from __future__ import annotations

from typing import Any

from ....acts.estimates import sheets
from ....acts.estimates.sheets import SheetsView, SheetUsedView
from ....core.amounts.quantities import SIZE
from ....core.estimates.nesting import MOST_PIECES
from ....core.estimates.outlines import HOLES
from ... import fields
from ...context.request import now
from ...drawings.cuts import Bed
from ...fields.schemas import Body
from .base import SumIn, estimate
from .cuts import SVG, or_drawn


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


def _cuts(**asked: Any) -> Any:
    found = sheets.sheets(**asked, now=now())
    beds = [Bed(_heading(each), each.length, each.width, each.cuts) for each in found.sheets]
    return or_drawn(found, f"Cuts of {found.product or 'sheets'}", beds)


def _heading(used: SheetUsedView) -> str:
    if used.lot is None:
        return "A sheet to buy"
    kind = "Offcut" if used.offcut else "Sheet"
    return f"{kind}, lot {used.number}, container {used.container}"


_DOES = """Lay pieces out on offcuts and sheets, grain kept, the saw's kerf between them.

With `Accept: image/svg+xml` the answer is the drawing.
"""

estimate("/sheets", SheetsIn, _cuts, SheetsView, _DOES, or_as=SVG)
