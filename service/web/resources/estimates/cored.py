"""A hole through a cored panel, mended from one side."""

from __future__ import annotations

from ....acts.estimates import cored
from ....acts.estimates.cored import CoredView
from ....core.amounts.quantities import SIZE
from ... import fields
from .base import SumIn, estimate
from .taper import HoleIn


class CoredIn(SumIn):
    """The hole through the inner skin, both skins, the core and its kerfs, and what beds it."""

    hole = fields.Nested(HoleIn, required=True)
    inner = fields.Quantity(SIZE, required=True, positive=True)
    outer = fields.Quantity(SIZE, required=True, positive=True)
    core = fields.Quantity(SIZE, required=True, positive=True)
    ratio = fields.Number(least=1, most=100)
    landing = fields.Quantity(SIZE)
    bedding = fields.Quantity(SIZE)
    kerf_width = fields.Quantity(SIZE, positive=True)
    kerf_pitch = fields.Quantity(SIZE, positive=True)
    waste_percent = fields.Number(least=0, most=100)
    structural = fields.Choice(("yes", "no", "unknown"))
    product = fields.Code()
    catalyst = fields.Code()


estimate("/cored", CoredIn, cored.panel, CoredView, "Work out the repair of a cored panel.")
