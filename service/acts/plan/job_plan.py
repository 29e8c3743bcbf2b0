"""Keep a chain plan for a job, and say what it moved of the one before."""

from __future__ import annotations

import json
from typing import Any

from ...core.errors import NotFound
from ...store import plan as plans
from ...store.engine.database import writing
from ...store.plan import Plan
from ...store.stock.jobs import Job
from ...store.yard.hands import Hand
from ..yard import finding, moments
from .chain import plan_chain


def keep_plan(job: Job, *, now: int, hand: Hand, **asked: Any) -> dict[str, Any]:
    """Plan a chain as `plan_chain` does, and keep it as the job's plan in force.

    The needs of the job that name no day are wanted on the days on which the plan lays
    their product.

    Raises:
        JobClosed. As `plan_chain`.
    """
    with writing():
        job = finding.open_job(job.number, "/job")
        before = plans.newest(job.id)
        answer = plan_chain(now=now, **asked)
        answer["moved"] = _moved(before, answer)
        uses = json.dumps(_uses(answer))
        plans.keep(job.id, json.dumps(answer), uses, now=now, hand=hand)
        return show_plan(job)


def show_plan(job: Job) -> dict[str, Any]:
    """A job's plan in force.

    Raises:
        NotFound: it has none.
    """
    row = plans.newest(job.id)
    if row is None:
        raise NotFound(f"Job {job.number} has no plan.", advice="Plan its steps first.")
    return {
        "job": job.number,
        **json.loads(row.answer),
        "recorded_at": row.recorded_at,
        "who": row.who,
    }


def _moved(before: Plan | None, answer: dict[str, Any]) -> list[dict[str, Any]]:
    """Each step whose beginning is not where the plan before had it, by its title."""
    if before is None:
        return []
    was = {step["title"].casefold(): step["start"] for step in json.loads(before.answer)["steps"]}
    moved = []
    for step in answer["steps"]:
        old = was.get(step["title"].casefold())
        if old is not None and old != step["start"]:
            moved.append({"title": step["title"], "was": old, "now": step["start"]})
    return moved


def _uses(answer: dict[str, Any]) -> dict[int, list[str]]:
    """Product id → the first and the last day on which it is laid."""
    found: dict[int, list[str]] = {}
    for step in answer["steps"]:
        if step["product"] is not None:
            day = moments.day_of(int(step["start"])).isoformat()
            product = finding.product(step["product"])
            found.setdefault(product.id, [day, day])[1] = day
    return found
