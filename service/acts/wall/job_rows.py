"""The wall's rows of one job: its layups, and its pots that were not laid up."""

from __future__ import annotations

from ...store.cure import layups
from ...store.stock.jobs import Job
from ..cure import watch
from ..cure.show import show_layup
from ..plan import job_plan
from ..pots import unlaid
from .rows import RowView, rows


def job_rows(job: Job, now: int) -> list[RowView]:
    """Trouble first, as on the wall."""
    watched = watch.watch_all(layups.open_layups_of(job.id), now)
    work = job_plan.next_work([each.row for each in watched])
    laid = [show_layup(each, work.get(each.row.id)) for each in watched]
    return rows(laid, [pot for pot in unlaid.pots(now) if pot.job == job.number])
