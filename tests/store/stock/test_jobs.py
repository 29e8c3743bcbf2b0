"""Jobs by their number, and the layups that keep one open."""

from __future__ import annotations

import pytest
from cureyard_service.store import tables
from cureyard_service.store.cure import layups
from cureyard_service.store.stock import jobs
from peewee import Database, IntegrityError

from .. import sample_yard as yard


def test_a_job_is_found_whatever_its_case(store: Database) -> None:
    """And an unknown one is nobody's."""
    job = yard.add_job()
    assert yard.ids([jobs.find_job(job.number.lower())]) == [job.id]
    assert jobs.find_job("nothing") is None


def test_a_number_is_taken_once(store: Database) -> None:
    """The database itself holds numbers apart."""
    job = yard.add_job()
    with pytest.raises(IntegrityError):
        tables.Job.create(
            number="x", number_key=job.number_key, title="Keel", craft="the dory Teal",
            structural="no", opened_at=yard.NOW,
        )  # fmt: skip


def test_a_layup_is_watched_until_it_is_closed(store: Database) -> None:
    """Covered or handed over, it no longer keeps its job open."""
    layup = yard.add_layup()
    assert yard.ids(layups.open_layups_of(layup.job_id)) == [layup.id]
    tables.Layup.update(closed_at=yard.NOW, closed_reason="covered").execute()
    assert layups.open_layups_of(layup.job_id) == []
