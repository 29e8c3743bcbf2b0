"""Refusals that somebody overrode, and why."""

from __future__ import annotations

from typing import NamedTuple

from .. import tables
from ..engine.columns import LARGEST
from ..engine.rows import Reader, insert
from .hands import Hand


class JobNumber(NamedTuple):
    """A job, by its number alone."""

    id: int
    number: str


class Override(NamedTuple):
    """A refusal that somebody overrode, and for what."""

    id: int
    slug: str
    reason: str
    lot_id: int | None
    movement_id: int | None
    batch_id: int | None
    layup_id: int | None
    recorded_at: int
    who: str
    verified: bool
    job: JobNumber | None


_OVERRIDES = Reader(Override, tables.Override)


def record(slug: str, reason: str, *, now: int, hand: Hand, **ids: int | None) -> None:
    """Put on record that a refusal was overridden.

    Args:
        ids: what for: any of lot_id, movement_id, batch_id, layup_id, job_id.
    """
    insert(tables.Override, slug=slug, reason=reason, **ids, **hand.signed(now))


def page(after: int | None, limit: int) -> list[Override]:
    """Overrides, the newest first, after the one with that id."""
    rest = "WHERE override.id < ? ORDER BY override.id DESC LIMIT ?"
    return _OVERRIDES.all(rest, LARGEST if after is None else after, limit)


def of_job(job_id: int) -> list[Override]:
    """The overrides for a job, oldest first."""
    return _OVERRIDES.all("WHERE override.job_id = ? ORDER BY override.id", job_id)


def of_job_alone(job_id: int, since: int) -> list[Override]:
    """Those for a job and not for one pot or layup, recorded after a moment (epoch s)."""
    rest = """
        WHERE override.job_id = ? AND override.batch_id IS NULL AND override.layup_id IS NULL
        AND override.recorded_at > ? ORDER BY override.id
    """
    return _OVERRIDES.all(rest, job_id, since)


def of_lot(lot_id: int) -> list[Override]:
    """The overrides for a lot, oldest first."""
    return _OVERRIDES.all("WHERE override.lot_id = ? ORDER BY override.id", lot_id)
