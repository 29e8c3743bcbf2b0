"""The chain plan: when each step of a repair begins."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from ...acts.plan import chain as plan_chain
from ...acts.plan import job_plan
from ...acts.yard import finding
from ...core.amounts.quantities import GEL_TIME, TIME
from ...core.plan.why import BOUNDS
from .. import fields
from ..context.request import hand, now
from ..fields.schemas import Answer, Body, Loaded
from ..http.access import reads, writes
from ..http.blueprint import Blueprint
from .jobs import blp as jobs

blp = Blueprint(
    "plans", __name__, url_prefix="/v1/plans", description="Chain plans: when each step begins."
)

KINDS = ("cure", "work", "wait", "hold")


class HoursIn(Body):
    """When the shop works: days of the week, from and until on the yard's clock."""

    days = fields.List(fields.Choice(plan_chain.WEEKDAYS), least=1, most=7, required=True)
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


class PlanIn(Body):
    """Steps on one part, the bay they are done in, and the shop's hours."""

    bay = fields.Code(required=True)
    start = fields.Moment()
    hours = fields.Nested(HoursIn, required=True)
    slot = fields.Quantity(GEL_TIME)
    after = fields.Integer(least=1)
    steps = fields.List(fields.Nested(StepIn), least=1, most=plan_chain.STEPS_MAX, required=True)


class PlannedOut(Answer):
    """One step: when, by what way, and why not before."""

    title = fields.Text(required=True)
    kind = fields.Choice(KINDS, required=True)
    product = fields.Code(required=True, allow_none=True)
    start = fields.Moment(required=True)
    end = fields.Moment(required=True)
    abrade = fields.Quantity(TIME, required=True, allow_none=True)
    laid_from = fields.Moment(required=True, allow_none=True)
    recoat_opens = fields.Moment(rounding="up", required=True, allow_none=True)
    recoat_closes = fields.Moment(rounding="down", required=True, allow_none=True)
    prepare = fields.List(fields.Text(), required=True)
    bound = fields.Choice(BOUNDS, required=True)
    why = fields.Text(required=True)


class PlanOut(Answer):
    """The plan that finishes first, with the fewest abrades, and then the least night work."""

    bay = fields.Code(required=True)
    start = fields.Moment(required=True)
    slot = fields.Quantity(GEL_TIME, required=True)
    finish = fields.Moment(rounding="up", required=True)
    abrades = fields.Integer(required=True)
    night_work = fields.Quantity(TIME, required=True)
    steps = fields.List(fields.Nested(PlannedOut), required=True)
    advice = fields.List(fields.Text(), required=True)
    warnings = fields.List(fields.Text(), required=True)
    cautions = fields.List(fields.Text(), required=True)


class RetimedOut(Answer):
    """A step that begins elsewhere than in the plan before."""

    title = fields.Text(required=True)
    was = fields.Moment(required=True)
    now = fields.Moment(required=True)


class JobPlanOut(PlanOut):
    """A job's plan in force, and what it moved of the one before."""

    job = fields.Code(required=True)
    moved = fields.List(fields.Nested(RetimedOut), required=True)
    recorded_at = fields.Moment(required=True)
    who = fields.Text(required=True)


@blp.route("")
class Plans(MethodView):
    """Plans that are not kept."""

    @blp.arguments(PlanIn)
    @reads()
    @blp.response(200, PlanOut)
    def post(self, body: Loaded) -> Any:
        """Plan when each step begins; nothing is kept."""
        return plan_chain.plan_chain(now=now(), **body)


@jobs.route("/<code:number>/plan")
class JobPlan(MethodView):
    """A job's plan in force."""

    @reads()
    @jobs.response(200, JobPlanOut)
    def get(self, number: str) -> Any:
        """Show a job's plan in force."""
        return job_plan.show_plan(finding.job(number))

    @jobs.arguments(PlanIn)
    @writes(role="hand")
    @jobs.response(200, JobPlanOut)
    def put(self, body: Loaded, number: str) -> Any:
        """Plan a job's steps, keep the plan, and show which steps it moved."""
        return job_plan.keep_plan(finding.job(number), now=now(), hand=hand(), **body)
