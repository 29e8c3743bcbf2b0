"""Writes that are tried and undone: what an act would do is found out by doing it."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from .database import db, writing


@contextmanager
def rehearsal() -> Iterator[None]:
    """A transaction, or a part of one, whose writes are all undone at its end."""
    with writing(), db.savepoint() as point:
        yield
        point.rollback()
