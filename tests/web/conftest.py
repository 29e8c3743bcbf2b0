"""A service on a new store, with a clock that a test turns and a toy to play with."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from cureyard_service.store.database import db
from cureyard_service.web.app import create_app
from cureyard_service.web.settings import Settings
from flask import Flask
from flask.testing import FlaskClient

from .toy import blp

MORNING = 1_774_000_000
"""2026-03-20 09:46:40 UTC."""


@dataclass
class Clock:
    """A clock that stands until a test turns it."""

    moment: int = MORNING

    def __call__(self) -> int:
        """The moment that it shows."""
        return self.moment


@pytest.fixture
def clock() -> Clock:
    """A clock at a morning in March."""
    return Clock()


@pytest.fixture(scope="session")
def new_store(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A new store's file, to be copied: making one takes longer than most tests."""
    path = tmp_path_factory.mktemp("store") / "yard.sqlite"
    create_app(Settings(database=str(path), zone="Europe/Lisbon"))
    db.close()
    return path


@pytest.fixture
def app(new_store: Path, tmp_path: Path, clock: Clock) -> Iterator[Flask]:
    """The service, with a toy beside its own resources."""
    store = shutil.copy(new_store, tmp_path / "yard.sqlite")
    app = create_app(Settings(database=str(store), zone="UTC", hand="Ines"), clock=clock)
    app.extensions["flask-smorest"]["apis"][""]["ext_obj"].register_blueprint(blp)
    yield app
    db.close()


@pytest.fixture
def client(app: Flask) -> FlaskClient:
    """Somebody on the same machine."""
    return app.test_client()
