"""What tests of more than one layer stand on."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

import pytest
from cureyard_service.store.database import open_store
from cureyard_service.store.migrate import migrate_forward
from hypothesis import settings
from peewee import Database

# A busy machine is no fault of the code. What lands is judged by the same examples each time;
# new ones are found where people work: every run that is not CI's draws its own.
settings.register_profile("yard", deadline=None)
settings.register_profile("landing", deadline=None, derandomize=True)
settings.load_profile("landing" if os.environ.get("CI") else "yard")


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Database]:
    """A new store in a file of its own, brought to this code's version."""
    database = open_store(str(tmp_path / "yard.sqlite"))
    migrate_forward(database)
    yield database
    database.close()
