"""What a vacuum bag takes."""

from __future__ import annotations

from ....acts.estimates import bagging
from ....acts.estimates.bagging import BaggingView
from ....core.amounts.quantities import SIZE
from ... import fields
from .base import SumIn, estimate


class BaggingIn(SumIn):
    """The part under the bag, and the products that the bag is made of."""

    length = fields.Quantity(SIZE, required=True, positive=True)
    width = fields.Quantity(SIZE, required=True, positive=True)
    margin = fields.Quantity(SIZE)
    pleats_percent = fields.Number(least=0, most=100)
    film = fields.Code()
    peel_ply = fields.Code()
    breather = fields.Code()
    tape = fields.Code()


estimate("/bag", BaggingIn, bagging.bag, BaggingView, "Work out what a vacuum bag takes.")
