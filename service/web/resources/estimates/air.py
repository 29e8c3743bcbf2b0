"""Dew point of the air, and whether a surface may be coated."""

from __future__ import annotations

from ....core.amounts.quantities import TEMPERATURE
from ....core.bays import dew_point
from ....core.bays.dew_point import DewPointView
from ... import fields
from .base import SumIn, estimate


class DewPointIn(SumIn):
    """Air, and if known the surface that is to be coated."""

    air = fields.Quantity(TEMPERATURE, required=True)
    humidity_percent = fields.Number(above=0, most=100, required=True)
    surface = fields.Quantity(TEMPERATURE)


estimate("/dew-point", DewPointIn, dew_point.judge, DewPointView, "Work out the dew point.")
