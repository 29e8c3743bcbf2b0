"""Where a lot stood, and where it went: the answer to whoever asks two years on."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from ...acts.jobs import trace as trace_lot
from ...acts.stock.draw import MovementView
from ...acts.stock.lot import LotView, LotWithWarningsView
from ...acts.stock.lot_history import StayView
from ...acts.yard import finding
from ...core.amounts.quantities import DOSE_MASS, GEL_TIME, TEMPERATURE
from ...core.stock.cup_test import CONDITIONS
from ...core.stock.lots import BOUNDS
from .. import fields
from ..context.request import now
from ..fields.schemas import Answer
from ..fields.views import answer
from ..http.access import reads
from .jobs import JobOut
from .lots import VERDICTS
from .lots import blp as blp


class CupOut(Answer):
    """A cup test on record; `factor` is of its gel time over the sheet's."""

    id = fields.Integer(required=True)
    at = fields.Moment()
    gel_times = fields.List(fields.Quantity(GEL_TIME))
    catalyst_percent = fields.Number(allow_none=True)
    temperature = fields.Quantity(TEMPERATURE)
    factor = fields.Number()
    verdict = fields.Choice(VERDICTS)
    condition = fields.Choice(CONDITIONS)
    who = fields.Text()
    verified = fields.Flag()


class TracedPot(Answer):
    """A pot that a lot went into."""

    id = fields.Integer()
    job = fields.Code()
    mixed_at = fields.Moment()
    amount = fields.Quantity(DOSE_MASS)
    who = fields.Text()


class TracedLayup(Answer):
    """A layup that a lot went into."""

    id = fields.Integer()
    job = fields.Code()
    craft = fields.Text()
    title = fields.Text()
    kind = fields.Text()
    applied_at = fields.Moment()
    who = fields.Text()


class EventOut(Answer):
    """Something that befell a lot."""

    kind = fields.Text()
    at = fields.Moment()
    bay = fields.Code(allow_none=True)
    reason = fields.Text(allow_none=True)
    from_on = fields.Day(allow_none=True)
    until_on = fields.Day(allow_none=True)
    who = fields.Text()
    verified = fields.Flag()


class BoundOut(Answer):
    """A last day that bounds a lot's life, and what sets it; the earliest rules."""

    bound = fields.Choice(BOUNDS)
    until_on = fields.Day()


class LotOverride(Answer):
    """A refusal that was set aside for a lot."""

    slug = fields.Text()
    reason = fields.Text()
    job = fields.Code(allow_none=True)
    batch = fields.Integer(allow_none=True)
    who = fields.Text()
    verified = fields.Flag()
    at = fields.Moment()


class TraceOut(Answer):
    """Where a lot stood, and where it went."""

    lot = fields.Nested(answer(LotWithWarningsView))
    life = fields.List(fields.Nested(BoundOut))
    jobs = fields.List(fields.Nested(JobOut))
    movements = fields.List(fields.Nested(answer(MovementView)))
    batches = fields.List(fields.Nested(TracedPot))
    layups = fields.List(fields.Nested(TracedLayup))
    pieces = fields.List(fields.Nested(answer(LotView)))
    events = fields.List(fields.Nested(EventOut))
    stays = fields.List(fields.Nested(answer(StayView)))
    cup_tests = fields.List(fields.Nested(CupOut))
    overrides = fields.List(fields.Nested(LotOverride))


@blp.route("/<id:lot>/trace")
class Trace(MethodView):
    """Where a lot went."""

    @reads()
    @blp.response(200, TraceOut)
    def get(self, lot: int) -> Any:
        """Show every job, pot and layup that a lot went into."""
        return trace_lot.trace_lot(finding.lot(lot), now())
