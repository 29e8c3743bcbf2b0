"""Jobs: pieces of work, each on one craft."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, Literal, NamedTuple

from .. import tables
from ..engine.columns import LARGEST
from ..engine.rows import Reader, insert
from ..lookup import key_of

Structural = Literal["yes", "no", "unknown"]
State = Literal["open", "closed"]


class Job(NamedTuple):
    """One piece of work on one craft."""

    id: int
    number: str
    title: str
    craft: str
    structural: Structural
    authority: str | None
    opened_at: int
    closed_at: int | None
    close_reason: str | None
    version: int


_JOBS = Reader(Job, tables.Job)

job = _JOBS.of_id
find_jobs = _JOBS.by_ids


def find_job(number: str) -> Job | None:
    """The job with a number, whatever its case, or None."""
    return _JOBS.first("WHERE job.number_key = ?", key_of(number))


def page(after: int | None, limit: int, state: State | None = None) -> list[Job]:
    """Jobs, the newest first, after the one with that id; open or closed ones alone if asked."""
    of_state = {None: "", "open": "AND job.closed_at IS NULL", "closed": "AND job.closed_at > 0"}
    rest = f"WHERE job.id < ? {of_state[state]} ORDER BY job.id DESC LIMIT ?"
    return _JOBS.all(rest, LARGEST if after is None else after, limit)


def open_jobs() -> list[Job]:
    """All open jobs, the first opened first."""
    return _JOBS.all("WHERE job.closed_at IS NULL ORDER BY job.id")


def numbers_of(ids: Iterable[int]) -> dict[int, str]:
    """Job id → its number."""
    return {row.id: row.number for row in find_jobs(ids)}


def add(number: str, **columns: Any) -> Job:
    """Add a job; `columns` by their names."""
    return job(insert(tables.Job, number=number, number_key=key_of(number), **columns))


def change(job_id: int, **columns: Any) -> None:
    """Set columns of a job and raise its version."""
    changes = tables.Job.update(version=tables.Job.version + 1, **columns)
    changes.where(tables.Job.id == job_id).execute()
