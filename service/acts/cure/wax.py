"""Wax on a layup's face: nothing bonds to it (common practice, no source)."""

from __future__ import annotations

from ...store.cure import layups
from ...store.cure.layups import Layup
from ...store.stock.jobs import Job
from . import watch
from .watch import Watched

OFF = "wipe it, sand it to dull and note it as 'sanded'"


def is_waxed(watched: Watched) -> bool | None:
    """Whether its face is waxed; None if nobody knows. A cover takes the wax with it."""
    if watched.layer.cover != "none":
        return False
    return None if watched.layer.surface == "unknown" else watched.layer.surface == "waxed"


def is_left_on(watched: Watched, at: int) -> bool:
    """Whether it is waxed, and nobody had sanded it by a moment, epoch s."""
    sanded = any(each.kind == "sanded" and each.at <= at for each in watched.believed)
    return bool(is_waxed(watched)) and not sanded


def on_last_layer(job: Job, at: int) -> list[str]:
    """A word on the wax of what was laid last on a job, epoch s: the next layer may go on it."""
    last = layups.last_of_job(job.id, at)
    if last is None or not is_left_on(watch.as_it_stood(last, at), at):
        return []
    return [f"{_waxed(last)} It was laid last on this job: before anything goes on it, {OFF}."]


def below(row: Layup, stood: Watched, at: int) -> list[str]:
    """A word on the wax of a layup that was covered at a moment, epoch s.

    Args:
        stood: the layup as it stood then.
    """
    if not is_left_on(stood, at):
        return []
    return [
        f"{_waxed(row)} Take the new layer off while it is wet. Once layup {row.id} is hard, {OFF}."
    ]


def _waxed(row: Layup) -> str:
    return (
        f"Layup {row.id}, {row.title}, has wax on its face, and nobody noted that it was sanded: "
        "nothing bonds to wax."
    )
