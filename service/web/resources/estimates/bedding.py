"""The putty under a part or a core."""

from __future__ import annotations

from ....acts.estimates import bedding
from ....acts.estimates.bedding import BeddingView
from ....core.amounts.quantities import AREA, SIZE
from ....core.products.fillers import CONSISTENCIES
from ... import fields
from .base import SumIn, estimate


class BeddingIn(SumIn):
    """A bed: its area, and the gap that it fills."""

    area = fields.Quantity(AREA, required=True, positive=True)
    thickness = fields.Quantity(SIZE, required=True, positive=True)
    waste_percent = fields.Number(least=0, most=100)
    product = fields.Code()
    catalyst = fields.Code()
    filler = fields.Code()
    consistency = fields.Choice(CONSISTENCIES)


estimate("/bedding", BeddingIn, bedding.bed, BeddingView, "Work out the putty under a part.")
