"""A yard of its own for each test, copied from one that was set up once."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from cureyard_service.store.engine.database import open_store
from cureyard_service.store.upkeep.migrate import migrate_forward
from peewee import Database

from ..engines import Engine
from . import sample_yard as yard


@pytest.fixture
def books(engine: Engine) -> Iterator[Database]:
    """The yard's own store, for one test: a catalogue, and nothing in stock."""
    with engine.copy(set_up) as url:
        database = open_store(url)
        yield database
        database.close()


def set_up(url: str) -> None:
    """Make a store the yard's."""
    database = open_store(url)
    migrate_forward(database)
    yard.set_up()
    database.close()
