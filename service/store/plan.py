"""The chain plans of jobs."""

from __future__ import annotations

import json
from collections.abc import Iterable
from datetime import date

from peewee import fn

from .tables import Plan


def newest(job_id: int) -> Plan | None:
    """The plan in force of a job, or None."""
    rows = Plan.select().where(Plan.job == job_id).order_by(Plan.id.desc())
    return rows.first()


ANY = 0
"""In the place of a product: whatever the plan's steps don't name."""


def days_of(job_ids: Iterable[int]) -> dict[tuple[int, int], tuple[date, date]]:
    """(job, product) → the first and last day on which the job's plan in force lays it.

    With `ANY`, those of the whole plan: cloth, or a catalyst, which no step names by itself.
    """
    newest_ids = Plan.select(fn.MAX(Plan.id)).where(Plan.job.in_(list(job_ids)))
    rows = Plan.select().where(Plan.id.in_(newest_ids.group_by(Plan.job)))
    found: dict[tuple[int, int], tuple[date, date]] = {}
    for row in rows:
        days = {
            int(product): (date.fromisoformat(first), date.fromisoformat(last))
            for product, (first, last) in json.loads(row.uses).items()
            if first
        }
        found |= {(row.job_id, product): laid for product, laid in days.items()}
        if days:
            firsts, lasts = zip(*days.values(), strict=True)
            found[row.job_id, ANY] = min(firsts), max(lasts)
    return found
