"""A stack of plies in a request."""

from __future__ import annotations

from ....core.amounts.quantities import AREAL_WEIGHT, SIZE
from ....core.estimates.laminate import FABRICS, LEAST_FRACTION, MOST_FRACTION
from ....core.estimates.ply_count import MOST_PLIES
from ... import fields
from ...fields.schemas import Body


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
