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


def days_of(job_ids: Iterable[int]) -> dict[tuple[int, int], tuple[date, date]]:
    """(job, product) → the first and last day on which the job's plan in force lays it."""
    newest_ids = Plan.select(fn.MAX(Plan.id)).where(Plan.job.in_(list(job_ids)))
    rows = Plan.select().where(Plan.id.in_(newest_ids.group_by(Plan.job)))
    return {
        (row.job_id, int(product)): (date.fromisoformat(first), date.fromisoformat(last))
        for row in rows
        for product, (first, last) in json.loads(row.uses).items()
        if first
    }
