"""What bodies of several nouns have in common."""

from __future__ import annotations

from ...core.amounts.quantities import AREA, COUNT, LENGTH, MASS, VOLUME
from .. import fields
from ..fields.schemas import Body

STOCK = (MASS, VOLUME, LENGTH, AREA, COUNT)
"""The kinds that an amount of stock may be given in."""


class ReasonIn(Body):
    """Why a refusal is set aside, or something taken back."""

    reason = fields.Text(required=True)
