"""Writes that are tried and undone: what an act would do is found out by doing it."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from .database import db, is_writing, trying


@contextmanager
def rehearsal() -> Iterator[None]:
    """A transaction whose writes are all undone at its end; nobody waits for it.

    Inside a write it is a part of that one.
    """
    if not is_writing():
        with trying():
            yield
        return
    with db.savepoint() as point:
        yield
        point.rollback()
