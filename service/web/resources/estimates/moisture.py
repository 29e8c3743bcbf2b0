"""A cure by moisture in steady air."""

from __future__ import annotations

from ....acts.estimates import moisture
from ....acts.estimates.moisture import MoistureView
from ....core.amounts.quantities import SIZE, TEMPERATURE
from ... import fields
from .base import SumIn, estimate


class MoistureIn(SumIn):
    """A joint of what cures by moisture, and the air around it."""

    product = fields.Code(required=True)
    temperature = fields.Quantity(TEMPERATURE, required=True)
    humidity_percent = fields.Number(above=0, most=100, required=True)
    thickness = fields.Quantity(SIZE, positive=True)
    tight_width = fields.Quantity(SIZE, positive=True)


estimate(
    "/moisture", MoistureIn, moisture.cured, MoistureView, "Work out when it is cured by moisture."
)
