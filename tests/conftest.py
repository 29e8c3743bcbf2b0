"""What tests of more than one layer stand on."""

from __future__ import annotations

import os
import signal
from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import HealthCheck, settings
from peewee import Database

from . import engines
from .prepared import filled_by, opened

# What a shell starts in the background ignores Ctrl-C, and would have each program that a test
# interrupts ignore it too.
if signal.getsignal(signal.SIGINT) is signal.SIG_IGN:
    signal.signal(signal.SIGINT, signal.default_int_handler)

# A busy machine is no fault of the code. What lands is judged by the same examples each time;
# new ones are found where people work: every run that is not CI's draws its own.
UNHURRIED: dict[str, Any] = {
    "deadline": None,
    # a store of a fixture's is shared by the examples, which each make things of their own
    "suppress_health_check": [HealthCheck.too_slow, HealthCheck.function_scoped_fixture],
}
settings.register_profile("yard", **UNHURRIED)
settings.register_profile("landing", **UNHURRIED, derandomize=True)
settings.load_profile("landing" if os.environ.get("CI") else "yard")


EMPTY = filled_by()


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_auto_num_workers() -> int:
    """A process more than there are cores: each waits now and then for a server or a browser."""
    return (os.cpu_count() or 1) + 1


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """Run what stands on a store once on each engine, or on the one that it is about."""
    if "engine" in metafunc.fixturenames:
        only = metafunc.definition.get_closest_marker("only_on")
        names = only.args if only else engines.NAMES
        metafunc.parametrize("engine", names, indirect=True, scope="session")


@pytest.fixture(scope="session")
def engine(request: pytest.FixtureRequest) -> Iterator[engines.Engine]:
    """A database to put stores on: SQLite, then a PostgreSQL of the tests' own."""
    with engines.started(request.param) as started:
        yield started


@pytest.fixture
def store(engine: engines.Engine) -> Iterator[Database]:
    """A new store of its own, brought to this code's version."""
    with opened(engine, EMPTY) as database:
        yield database
