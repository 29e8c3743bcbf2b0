"""The list of layups."""

from __future__ import annotations

from ...store.cure import layups
from ..yard import finding
from . import watch
from .show import LayupView, show_layup


def list_layups(
    after: int | None,
    limit: int,
    now: int,
    *,
    job: str | None = None,
    bay: str | None = None,
    curing: bool | None = None,
) -> list[LayupView]:
    """Layups, newest first, after the one with that id.

    Args:
        job, bay: only the layups of that job, or laid up in that bay. curing: only those that are
            still watched, or only the others.
    """
    rows = layups.page(
        after,
        limit,
        job_id=None if job is None else finding.job(job).id,
        bay_id=None if bay is None else finding.bay(bay).id,
        curing=curing,
    )
    return [show_layup(watched) for watched in watch.watch_all(rows, now)]
