"""A mix shared out into pots."""

from __future__ import annotations

from typing import Any

from ....acts.estimates import pots
from ....acts.estimates.pots import PotsView
from ....core.amounts.quantities import AREA, GEL_TIME, MASS
from ... import fields
from ...context.request import now
from ..doses import DoseAloneIn
from .base import estimate


class PotsIn(DoseAloneIn):
    """A mix, and how fast it is spread: so much resin, or so much of the area, in a time."""

    spread = fields.AnyQuantity((MASS, AREA), required=True, positive=True)
    spread_time = fields.Quantity(GEL_TIME, required=True, positive=True)
    area = fields.Quantity(AREA, positive=True)
    start = fields.Moment()


def _run(**asked: Any) -> PotsView:
    return pots.run(**asked, now=now())


estimate("/pots", PotsIn, _run, PotsView, "Share a mix out into pots.")
