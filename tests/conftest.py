"""What tests of more than one layer stand on."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from cureyard_service.store.database import open_store
from cureyard_service.store.migrate import migrate_forward
from hypothesis import settings
from peewee import Database

settings.register_profile("yard", deadline=None)  # a busy machine is no fault of the code
settings.load_profile("yard")


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Database]:
    """A new store in a file of its own, brought to this code's version."""
    database = open_store(str(tmp_path / "yard.sqlite"))
    migrate_forward(database)
    yield database
    database.close()
