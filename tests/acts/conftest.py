"""A yard of its own for each test, copied from one that was set up once."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from cureyard_service.store.database import open_store
from cureyard_service.store.migrate import migrate_forward
from peewee import Database

from . import yard


@pytest.fixture(scope="session")
def set_up_yard(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The file of a yard with a catalogue and nothing in stock."""
    path = tmp_path_factory.mktemp("yard") / "yard.sqlite"
    database = open_store(str(path))
    migrate_forward(database)
    yard.set_up()
    database.close()
    return path


@pytest.fixture
def books(set_up_yard: Path, tmp_path: Path) -> Iterator[Database]:
    """The yard's own store, for one test."""
    database = open_store(str(shutil.copy(set_up_yard, tmp_path / "yard.sqlite")))
    yield database
    database.close()
