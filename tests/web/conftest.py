"""A service on a new store, with a clock that a test turns and a toy to play with."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import pytest
from cureyard_service.store.engine.database import db
from cureyard_service.web.app import create_app
from cureyard_service.web.context.house import House
from cureyard_service.web.context.settings import Settings
from cureyard_service.web.wiring import open_yard
from flask import Flask
from flask.testing import FlaskClient

from ..engines import Engine
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
def wired(tmp_path_factory: pytest.TempPathFactory) -> Flask:
    """The service put together once, with a toy beside its own resources.

    To wire it takes longer than most tests. What it keeps of one store is its `House`.
    """
    app = with_toys(str(tmp_path_factory.mktemp("wired") / "yard.sqlite"), Clock())
    db.close()
    return app


def with_toys(database: str, clock: Clock) -> Flask:
    """The service with the toy, on a store that it opens."""
    app = create_app(Settings(database=database, zone="UTC", hand="Ines"), clock=clock)
    app.extensions["cureyard.api"].add(blp)
    return app


@pytest.fixture
def app(engine: Engine, clock: Clock, wired: Flask) -> Iterator[Flask]:
    """The service on a new store, as if it had just been started."""
    with engine.copy(new_yard) as url:
        settings = Settings(database=url, zone="UTC", hand="Ines")
        open_yard(settings, clock())
        wired.extensions["cureyard"] = House(settings, clock)
        yield wired
        db.close()


@pytest.fixture
def own_app(engine: Engine, clock: Clock) -> Iterator[Flask]:
    """The service put together anew, for a test that adds to it."""
    with engine.copy(new_yard) as url:
        yield with_toys(url, clock)
        db.close()


def new_yard(url: str) -> None:
    """Make a store a new yard's: making one takes longer than most tests."""
    create_app(Settings(database=url, zone="Europe/Lisbon"))
    db.close()


@pytest.fixture
def client(app: Flask) -> FlaskClient:
    """Somebody on the same machine."""
    return app.test_client()
