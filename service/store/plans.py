"""The chain plans of jobs."""

from __future__ import annotations

import json
from datetime import date

from .tables import Plan


def newest(job_id: int) -> Plan | None:
    """The plan in force of a job, or None."""
    rows = Plan.select().where(Plan.job == job_id).order_by(Plan.id.desc())
    return rows.first()


def days_of(job_id: int, product_id: int) -> tuple[date | None, date | None]:
    """The first and last day on which a job's plan lays a product; None without."""
    row = newest(job_id)
    if row is None:
        return None, None
    first, last = json.loads(row.uses).get(str(product_id), (None, None))
    return (date.fromisoformat(first), date.fromisoformat(last)) if first else (None, None)
