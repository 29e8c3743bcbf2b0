"""The taper of a repair, and every ply's cut size."""

from __future__ import annotations

from ....acts.estimates import taper
from ....acts.estimates.taper import TaperView
from ....core.amounts.quantities import LENGTH, SIZE
from ....core.estimates.outlines import HOLES
from ....core.estimates.ply_count import MOST_PLIES
from ....core.estimates.taper import ORDERS
from ... import fields
from ...fields.schemas import Body
from .base import SumIn, estimate
from .laminate import stack_field


class HoleIn(Body):
    """A hole; without a shape it is round, or rectangular if it has a width."""

    shape = fields.Choice(HOLES)
    length = fields.Quantity(SIZE, required=True, positive=True)
    width = fields.Quantity(SIZE, positive=True)
    corner = fields.Quantity(SIZE)


class TaperIn(SumIn):
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


estimate("/taper", TaperIn, taper.taper, TaperView, "Work out a taper and its plies.")
