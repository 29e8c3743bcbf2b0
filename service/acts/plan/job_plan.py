"""Keep a chain plan for a job, and show which steps it moved."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import asdict
from typing import Any

from ...core.amounts.views import Code, Moment, View
from ...core.errors import Invalid, NotFound
from ...core.frozen import frozen
from ...core.words import as_plain, from_plain
from ...store import plan as plans
from ...store.cure.layups import Layup
from ...store.engine.database import writing
from ...store.plan import Plan
from ...store.stock.jobs import Job
from ...store.yard.hands import Hand
from ..yard import finding, moments
from .chain import PlanView, plan_chain
from .words import PlannedView


@frozen
class RetimedView(View):
    """A step that begins elsewhere than in the plan before."""

    title: str
    was: Moment
    now: Moment


@frozen
class JobPlanView(PlanView):
    """A job's plan in force, and what it moved of the one before."""

    job: Code
    moved: list[RetimedView]
    recorded_at: Moment
    who: str


def keep_plan(job: Job, *, now: int, hand: Hand, **asked: Any) -> JobPlanView:
    """Plan a chain as `plan_chain` does, and keep it as the job's plan in force.

    Needs of the job that name no day are wanted on the days on which the plan lays their product.

    Raises:
        JobClosed. Invalid: a plan by touch of a job that may carry load. As `plan_chain`.
    """
    with writing():
        job = finding.open_job(job.number, "/job")
        if asked.get("touch") and job.structural != "no":
            raise Invalid(
                f"Job {job.number} may carry load, so it is not planned by touch.",
                advice="Leave out 'touch'; or say that the job is not structural.",
                pointer="/touch",
            )
        before = plans.newest(job.id)
        found = plan_chain(now=now, **asked)
        moved = [asdict(each) for each in _moved(before, found.steps)]
        answer, uses = asdict(found) | {"moved": moved}, _uses(found.steps)
        plans.keep(
            job.id, json.dumps(answer, default=as_plain), json.dumps(uses), now=now, hand=hand
        )
        return show_plan(job)


def show_plan(job: Job) -> JobPlanView:
    """A job's plan in force.

    Raises:
        NotFound: it has none.
    """
    row = plans.newest(job.id)
    if row is None:
        raise NotFound(f"Job {job.number} has no plan.", advice="Plan its steps first.")
    kept = json.loads(row.answer, object_hook=from_plain)
    return JobPlanView.recalled(
        kept,
        steps=[PlannedView.recalled(step) for step in kept["steps"]],
        moved=[RetimedView.recalled(each) for each in kept["moved"]],
        job=job.number,
        recorded_at=row.recorded_at,
        who=row.who,
    )


def next_work(rows: Sequence[Layup]) -> dict[int, float]:
    """For layups that are a step of their job's plan, how long the next layer takes to lay, s.

    Steps go by their titles. Where other work comes first, nothing is said.
    """
    kept = plans.newest_each({row.job_id for row in rows})
    steps = {job: json.loads(row.answer)["steps"] for job, row in kept.items()}
    found = {row.id: _work_after(row.title, steps.get(row.job_id, [])) for row in rows}
    return {layup: work for layup, work in found.items() if work is not None}


def _work_after(title: str, steps: Sequence[Mapping[str, Any]]) -> float | None:
    titles = [step["title"].casefold() for step in steps]
    if title.casefold() not in titles:
        return None
    after = steps[titles.index(title.casefold()) + 1 :]
    layer = next((step for step in after if step["kind"] in ("cure", "work")), None)
    if layer is None or layer["kind"] == "work":
        return None
    begun = layer.get("laid_from") or layer["start"]  # older plans have the abrading in it
    return float(layer["end"] - begun)


def _moved(before: Plan | None, steps: Sequence[PlannedView]) -> list[RetimedView]:
    """The steps that begin at another time than in the plan before; steps go by their titles."""
    if before is None:
        return []
    was = {step["title"].casefold(): step["start"] for step in json.loads(before.answer)["steps"]}
    return [
        RetimedView(step.title, old, step.start)
        for step in steps
        if (old := was.get(step.title.casefold())) is not None and old != step.start
    ]


def _uses(steps: Sequence[PlannedView]) -> dict[int, list[str]]:
    """Product id → the first and the last day on which it is laid."""
    found: dict[int, list[str]] = {}
    for step in steps:
        if step.product is not None:
            day = moments.day_of(int(step.start)).isoformat()
            product = finding.product(step.product)
            found.setdefault(product.id, [day, day])[1] = day
    return found
