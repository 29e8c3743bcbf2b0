"""A part taped in along its corners, and the putty under the tape."""

from __future__ import annotations

from ....acts.estimates import tabbing
from ....acts.estimates.tabbing import TabbingView
from ....core.amounts.quantities import LENGTH, SIZE
from ....core.estimates.ply_count import MOST_PLIES
from ....core.products.fillers import CONSISTENCIES
from ... import fields
from .base import SumIn, estimate


class TabbingIn(SumIn):
    """A corner: `leg` is the widest ply's up each face, `sides` of the part that are taped."""

    length = fields.Quantity(LENGTH, required=True, positive=True)
    plies = fields.Integer(least=1, most=MOST_PLIES, required=True)
    leg = fields.Quantity(SIZE, required=True, positive=True)
    step = fields.Quantity(SIZE)
    radius = fields.Quantity(SIZE)
    angle = fields.Number(least=20, most=170)
    sides = fields.Integer(least=1, most=2)
    widest_first = fields.Flag()
    putty = fields.Code()
    cloth = fields.Code()
    catalyst = fields.Code()
    filler = fields.Code()
    consistency = fields.Choice(CONSISTENCIES)


estimate("/tabbing", TabbingIn, tabbing.taped, TabbingView, "Work out a tabbing and its fillet.")
