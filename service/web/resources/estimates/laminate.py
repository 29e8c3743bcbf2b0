"""Thickness, fibre and resin of a stack; and how many plies fill a thickness."""

from __future__ import annotations

from ....acts.estimates import laminate
from ....acts.estimates.laminate import LaminateView, PliesView
from ....core.amounts.quantities import AREA, AREAL_WEIGHT, SIZE
from ....core.estimates.laminate import FABRICS, LEAST_FRACTION, METHODS, MOST_FRACTION, SURFACES
from ....core.estimates.ply_count import MOST_PLIES
from ... import fields
from ...fields.schemas import Body
from .base import SumIn, estimate


class RowIn(Body):
    """So many plies alike: of a product, of a dry weight, or of a cured thickness."""

    product = fields.Code()
    areal_weight = fields.Quantity(AREAL_WEIGHT, positive=True)
    thickness = fields.Quantity(SIZE, positive=True)
    fibre_fraction = fields.Number(least=LEAST_FRACTION, most=MOST_FRACTION)
    fabric = fields.Choice(FABRICS)
    count = fields.Integer(least=1, most=MOST_PLIES)


def stack_field(*, required: bool = True) -> fields.List:
    """The rows of a stack, in the order laid."""
    return fields.List(fields.Nested(RowIn), least=1, most=MOST_PLIES, required=required)


class LaminateIn(SumIn):
    """A stack, and if known its resin and its area."""

    stack = stack_field()
    resin = fields.Code()
    catalyst = fields.Code()
    area = fields.Quantity(AREA, positive=True)
    method = fields.Choice(METHODS)
    surface = fields.Choice(SURFACES)


class PliesIn(SumIn):
    """A thickness, and the stack that is laid over and over to fill it."""

    thickness = fields.Quantity(SIZE, required=True, positive=True)
    stack = stack_field()
    resin = fields.Code()
    surface = fields.Choice(SURFACES)


estimate("/laminate", LaminateIn, laminate.stack, LaminateView, "Work out a laminate.")
estimate("/plies", PliesIn, laminate.plies, PliesView, "Count the plies that fill a thickness.")
