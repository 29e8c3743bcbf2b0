"""Plies laid out on rolls: the cut list, or with `Accept: image/svg+xml` its drawing."""

from __future__ import annotations

from typing import Any

from ....acts.estimates import roll
from ....acts.estimates.roll import RollUsedView, RollView
from ....core.amounts.quantities import SIZE
from ....core.estimates.laminate import FABRICS
from ....core.estimates.nesting import MOST_PIECES
from ....core.estimates.outlines import SHAPES
from ... import fields
from ...context.request import now
from ...drawings.cuts import Bed
from ...fields.schemas import Body
from .base import SumIn, estimate
from .cuts import SVG, or_drawn


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


def _cuts(**asked: Any) -> Any:
    found = roll.roll(**asked, now=now())
    beds = [Bed(_heading(each), each.length, found.width, each.cuts) for each in found.rolls]
    return or_drawn(found, f"Cuts of {found.product or 'a roll'}", beds)


def _heading(used: RollUsedView) -> str:
    if used.lot is None:
        return "A roll to buy"
    return f"Lot {used.number}, container {used.container}"


_DOES = """Lay plies out on a roll, fibre direction kept, each of one piece.

With `Accept: image/svg+xml` the answer is the drawing.
"""

estimate("/roll", RollIn, _cuts, RollView, _DOES, or_as=SVG)
