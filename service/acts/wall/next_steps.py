"""The next layers by the jobs' plans: for a wall on which nothing cures."""

from __future__ import annotations

import json
from collections.abc import Iterable

from ...core.amounts.views import Code, Moment, View
from ...core.frozen import frozen
from ...store import plan as plans
from ...store.stock import jobs
from ..jobs.shopping import BuyView
from ..yard import moments

MOST = 2
"""Steps that are shown."""
JOBS_MAX = 200


@frozen
class NextLayerView(View):
    """A planned layer; `short` is the first thing that the job lacks, or None."""

    job: Code
    craft: str
    title: str
    product: Code
    start: Moment
    short: BuyView | None


def next_layers(now: int, short: Iterable[BuyView]) -> list[NextLayerView]:
    """The first planned layers of today or later."""
    today = moments.start_of(moments.day_of(now))
    lacks = {job: item for item in reversed(list(short)) for job in item.jobs}
    rows = {row.id: row for row in jobs.page(None, JOBS_MAX, "open")}
    found = [
        NextLayerView(
            job=rows[job].number,
            craft=rows[job].craft,
            title=step["title"],
            product=step["product"],
            start=step["start"],
            short=lacks.get(rows[job].number),
        )
        for job, kept in plans.newest_each(rows).items()
        for step in json.loads(kept.answer)["steps"]
        if step["kind"] == "cure" and step["start"] >= today
    ]
    return sorted(found, key=lambda layer: layer.start)[:MOST]
