"""Jobs, cure sheets and kept answers."""

from __future__ import annotations

import pytest
from cureyard_service.store import answers, tables
from cureyard_service.store import cure_sheets as sheets
from cureyard_service.store.stock import jobs
from peewee import Database, IntegrityError

from .. import sample_yard as yard


def test_a_job_is_found_whatever_its_case(store: Database) -> None:
    """And an unknown one is nobody's."""
    job = yard.add_job()
    assert jobs.find_job(job.number.lower()) == job
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
    assert jobs.watched_layups(layup.job_id) == [layup]
    tables.Layup.update(closed_at=yard.NOW, closed_reason="covered").execute()
    assert jobs.watched_layups(layup.job_id) == []


def test_the_newest_revision_is_the_current_one(store: Database) -> None:
    """With its sheets in their places; the older ones stay on record."""
    product = yard.add_product()
    assert (sheets.latest_revision(product.id), sheets.current_sheets(product.id)) == (0, [])
    old = yard.add_sheet(product, 1)
    second, first = yard.add_sheet(product, 2, position=1), yard.add_sheet(product, 2)
    assert sheets.current_sheets(product.id) == [first, second]
    assert sheets.revisions_of(product.id, None, 10) == [first, second, old]
    assert sheets.revisions_of(product.id, second.id, 10) == [old]


def keep(scope: str, key: str, now: int) -> tables.Answer:
    """An answer kept."""
    return answers.keep(
        scope, key, body_hash="h", status=201, body="{}", location="/v1/lots/1", etag='"1"', now=now
    )


def test_an_answer_is_found_by_its_scope_and_key(store: Database) -> None:
    """The same key in another scope is another key."""
    kept = keep("POST /v1/lots", "k", 5)
    found = answers.find("POST /v1/lots", "k")
    assert found == kept
    assert found is not None
    assert (found.status, found.location, found.etag) == (201, "/v1/lots/1", '"1"')
    assert answers.find("POST /v1/jobs", "k") is None


def test_a_key_answers_once(store: Database) -> None:
    """A second answer under a key is refused by the database itself."""
    keep("s", "k", 5)
    with pytest.raises(IntegrityError):
        keep("s", "k", 6)


def test_old_answers_are_forgotten(store: Database) -> None:
    """Those from before the moment, and only those."""
    keep("s", "old", 5)
    kept = keep("s", "new", 6)
    assert answers.forget_before(6) == 1
    assert list(tables.Answer.select()) == [kept]
