"""What to do now: the yard at a glance."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from ...acts.bays.air import AIR_BASES, ReadView
from ...acts.cure.show import LayupView
from ...acts.pots.unlaid import UnlaidPotView
from ...acts.stock.lot import LotView
from ...acts.wall import now as what_now
from ...core.amounts.quantities import DIFFERENCE, TEMPERATURE
from .. import fields
from ..context.request import now
from ..fields.schemas import Answer
from ..fields.views import answer
from ..http.access import reads
from ..http.blueprint import Blueprint

blp = Blueprint("now", __name__, url_prefix="/v1/now", description="What to do now.")


class ActionOut(Answer):
    """Something to do at a layup."""

    layup = fields.Integer()
    job = fields.Code()
    craft = fields.Text()
    title = fields.Text()
    action = fields.Text()
    text = fields.Text()
    at = fields.Moment(allow_none=True)
    closing = fields.Flag()


class LotsToSeeTo(Answer):
    """Lots that are out of date, soon will be, or are held; good ones whose date nobody gave."""

    expired = fields.List(fields.Nested(answer(LotView)))
    soon = fields.List(fields.Nested(answer(LotView)))
    held = fields.List(fields.Nested(answer(LotView)))
    undated = fields.List(fields.Nested(answer(LotView)))


class AirOut(Answer):
    """A bay's air as of now."""

    code = fields.Code()
    title = fields.Text()
    temperature = fields.Quantity(TEMPERATURE)
    basis = fields.Choice(AIR_BASES)
    read = fields.Nested(answer(ReadView), required=True, allow_none=True)
    at = fields.Moment(allow_none=True)
    uncertainty = fields.Quantity(DIFFERENCE)


class NowOut(Answer):
    """The yard as of now."""

    at = fields.Moment(required=True)
    actions = fields.List(fields.Nested(ActionOut), required=True)
    layups = fields.List(fields.Nested(answer(LayupView)), required=True)
    pots = fields.List(fields.Nested(answer(UnlaidPotView)), required=True)
    lots = fields.Nested(LotsToSeeTo, required=True)
    bays = fields.List(fields.Nested(AirOut), required=True)


@blp.route("")
class Now(MethodView):
    """The yard at a glance."""

    @reads()
    @blp.response(200, NowOut)
    def get(self) -> Any:
        """Show what to do now: windows, layers to sand, pots not laid up, stock near its end."""
        return what_now.what_now(now())
