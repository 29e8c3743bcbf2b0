"""A yard of its own for each test, copied from one that was set up once."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from peewee import Database

from ..engines import Engine
from ..prepared import filled_by, opened
from . import sample_yard as yard

set_up = filled_by(yard.set_up)


@pytest.fixture
def books(engine: Engine) -> Iterator[Database]:
    """The yard's own store, for one test: a catalogue, and nothing in stock."""
    with opened(engine, set_up) as database:
        yield database
