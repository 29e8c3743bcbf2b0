"""Stores that are filled once for an engine, and copied for each test."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager

from cureyard_service.store.engine.database import open_store
from cureyard_service.store.upkeep.migrate import migrate_forward
from peewee import Database

from .engines import Engine, Fill


def filled_by(*works: Callable[[], object]) -> Fill:
    """What brings a store to this code's version and then does some work in it."""

    def fill(url: str) -> None:
        database = open_store(url)
        migrate_forward(database)
        for work in works:
            work()
        database.close()

    return fill


@contextmanager
def opened(engine: Engine, fill: Fill) -> Iterator[Database]:
    """A store of one's own that was filled so."""
    with engine.copy(fill) as url:
        database = open_store(url)
        yield database
        database.close()
