"""Kept answers: found by scope and key, once each, and forgotten when they are old."""

from __future__ import annotations

import pytest
from cureyard_service.store import answers, tables
from peewee import Database, IntegrityError


def keep(scope: str, key: str, now: int) -> None:
    """An answer kept."""
    answers.keep(
        scope, key, body_hash="h", status=201, body="{}", location="/v1/lots/1", etag='"1"', now=now
    )


def test_an_answer_is_found_by_its_scope_and_key(store: Database) -> None:
    """The same key in another scope is another key."""
    keep("POST /v1/lots", "k", 5)
    found = answers.find("POST /v1/lots", "k")
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
    keep("s", "new", 6)
    assert answers.forget_before(6) == 1
    assert [row.key for row in tables.Answer.select()] == ["new"]
