"""The chain plan: when each step of a repair begins."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from ...acts.plan import job_plan
from ...acts.plan.chain import STEPS_MAX, WEEKDAYS, PlanView, plan_chain
from ...acts.plan.job_plan import JobPlanView
from ...acts.plan.words import KINDS
from ...acts.yard import finding
from ...core.amounts.quantities import GEL_TIME, TIME
from .. import fields
from ..context.request import hand, now
from ..fields.schemas import Body, Loaded
from ..fields.views import answer
from ..http.access import reads, writes
from ..http.blueprint import Blueprint
from .jobs import blp as jobs

blp = Blueprint(
    "plans", __name__, url_prefix="/v1/plans", description="Chain plans: when each step begins."
)


class HoursIn(Body):
    """When the shop works: days of the week, from and until on the yard's clock."""

    days = fields.List(fields.Choice(WEEKDAYS), least=1, most=7, required=True)
    begin = fields.TimeOfDay(required=True, data_key="from")
    finish = fields.TimeOfDay(required=True, data_key="until")
    closed = fields.List(fields.Day(), most=366)


class StepIn(Body):
    """One step: something that cures, work on the part, a wait, or a hold until a moment."""

    title = fields.Text(required=True)
    kind = fields.Choice(KINDS, load_default="cure")
    product = fields.Code()
    catalyst = fields.Code()
    catalyst_percent = fields.Number(above=0, most=100)
    work = fields.Quantity(TIME, positive=True)
    abrade = fields.Quantity(TIME, positive=True)
    wait = fields.Quantity(TIME, positive=True)
    until = fields.Moment()


class PartProductIn(Body):
    """The product of a part of a sequence."""

    part = fields.Text(required=True, most=40)
    product = fields.Code(required=True)
    catalyst = fields.Code()
    catalyst_percent = fields.Number(above=0, most=100)


class PlanIn(Body):
    """Steps or a sequence, the bay they are done in, and the shop's hours."""

    bay = fields.Code(required=True)
    start = fields.Moment()
    hours = fields.Nested(HoursIn, required=True)
    slot = fields.Quantity(GEL_TIME)
    after = fields.Integer(least=1)
    touch = fields.Flag()
    steps = fields.List(fields.Nested(StepIn), least=1, most=STEPS_MAX)
    sequence = fields.Code()
    parts = fields.List(fields.Nested(PartProductIn), least=1, most=STEPS_MAX)


@blp.route("")
class Plans(MethodView):
    """Plans that are not kept."""

    @blp.arguments(PlanIn)
    @reads()
    @blp.response(200, answer(PlanView))
    def post(self, body: Loaded) -> Any:
        """Plan when each step begins; nothing is kept."""
        return plan_chain(now=now(), **body)


@jobs.route("/<code:number>/plan")
class JobPlan(MethodView):
    """A job's plan in force."""

    @reads()
    @jobs.response(200, answer(JobPlanView))
    def get(self, number: str) -> Any:
        """Show a job's plan in force."""
        return job_plan.show_plan(finding.job(number))

    @jobs.arguments(PlanIn)
    @writes(role="hand")
    @jobs.response(200, answer(JobPlanView))
    def put(self, body: Loaded, number: str) -> Any:
        """Plan a job's steps, keep the plan, and show which steps it moved."""
        return job_plan.keep_plan(finding.job(number), now=now(), hand=hand(), **body)
