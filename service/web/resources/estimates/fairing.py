"""Fairing a hollow."""

from __future__ import annotations

from ....acts.estimates import fairing
from ....acts.estimates.fairing import FairingView
from ....core.amounts.quantities import AREA, SIZE
from ....core.products.fillers import CONSISTENCIES
from ... import fields
from .base import SumIn, estimate


class FairingIn(SumIn):
    """A hollow: its area and mean depth, and how proud it is filled to be sanded back."""

    area = fields.Quantity(AREA, required=True, positive=True)
    depth = fields.Quantity(SIZE, required=True, positive=True)
    coat_max = fields.Quantity(SIZE, positive=True)
    proud = fields.Quantity(SIZE)
    waste_percent = fields.Number(least=0, most=100)
    product = fields.Code()
    catalyst = fields.Code()
    filler = fields.Code()
    consistency = fields.Choice(CONSISTENCIES)


estimate("/fairing", FairingIn, fairing.fill, FairingView, "Work out the filler and its coats.")
