"""Coats of paint or gel coat over an area."""

from __future__ import annotations

from ....acts.estimates import coating
from ....acts.estimates.coating import CoatingView
from ....core.amounts.quantities import AREA, SIZE
from ... import fields
from .base import SumIn, estimate


class CoatingIn(SumIn):
    """An area and a film, wet or dry; percents by volume."""

    area = fields.Quantity(AREA, required=True, positive=True)
    coats = fields.Integer(least=1, most=50)
    wet_film = fields.Quantity(SIZE, positive=True)
    dry_film = fields.Quantity(SIZE, positive=True)
    solids_percent = fields.Number(above=0, most=100)
    thinner_percent = fields.Number(least=0, most=100)
    loss_percent = fields.Number(least=0, most=95)
    waste_percent = fields.Number(least=0, most=100)
    product = fields.Code()
    catalyst = fields.Code()


estimate("/coating", CoatingIn, coating.coats, CoatingView, "Work out paint and thinner.")
