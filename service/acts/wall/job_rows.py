"""The wall's rows of one job: its layups, and its pots that were not laid up."""

from __future__ import annotations

from ...store.cure import layups
from ...store.stock.jobs import Job
from ..cure import watch
from ..pots import unlaid
from .rows import RowView, rows, show_laid


def job_rows(job: Job, now: int) -> list[RowView]:
    """Trouble first, as on the wall."""
    watched = watch.watch_all(layups.open_layups_of(job.id), now)
    return rows(show_laid(watched), [pot for pot in unlaid.pots(now) if pot.job == job.number])
