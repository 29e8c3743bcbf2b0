"""The two databases that a store may be on, each able to copy a prepared store quickly.

A fixture that needs a store asks for `engine`, and its tests run once on each.
`pytest.mark.only_on("sqlite")` is for what is about one of them: its file, its statements.
"""

from __future__ import annotations

import shutil
import sqlite3
import tempfile
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, ExitStack, closing, contextmanager
from itertools import count
from pathlib import Path
from typing import Protocol

from . import postgres

NAMES = ("sqlite", "postgresql")

Fill = Callable[[str], None]
"""Makes a store at an address what tests want to begin with, and closes it again."""


class Engine(Protocol):
    """A database to put stores on."""

    name: str
    programs: Path | None
    """Where its own programs are; None where it has none."""

    def empty(self) -> str:
        """The address of a new store in which there is nothing yet; gone with the engine."""

    def copy(self, fill: Fill) -> AbstractContextManager[str]:
        """The address of a store of one's own, as `fill` makes it: it is called but once."""


class Sqlite:
    """Stores in files."""

    name = "sqlite"
    programs = None

    def __init__(self, stack: ExitStack) -> None:
        self._folder = Path(stack.enter_context(tempfile.TemporaryDirectory(prefix="cureyard-")))
        self._numbers = count(1)
        self._filled: dict[Fill, str] = {}

    def empty(self) -> str:
        """The path of a file that is not there yet, in a folder of its own."""
        folder = self._folder / str(next(self._numbers))
        folder.mkdir()
        return str(folder / "yard.sqlite")

    @contextmanager
    def copy(self, fill: Fill) -> Iterator[str]:
        """A copy of the file."""
        if fill not in self._filled:
            path = self.empty()
            fill(path)
            self._filled[fill] = _without_its_log(path)
        path = shutil.copy(self._filled[fill], self.empty())
        yield str(path)
        shutil.rmtree(Path(path).parent)


def _without_its_log(path: str) -> str:
    """A file with all of its store: what left a connection open left some of it in the log."""
    with closing(sqlite3.connect(path)) as connection:
        (busy, _, _) = connection.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()
    assert not busy
    return path


class Postgresql:
    """Stores in databases of one server."""

    name = "postgresql"

    def __init__(self, stack: ExitStack) -> None:
        self._server = stack.enter_context(postgres.running(**postgres.QUICK))
        self.programs = self._server.programs
        self._numbers = count(1)
        self._filled: dict[Fill, str] = {}

    def empty(self) -> str:
        """The address of a new database."""
        return self._server.url(self._make())

    @contextmanager
    def copy(self, fill: Fill) -> Iterator[str]:
        """A database made from a template; its files are copied, which is quickest."""
        if fill not in self._filled:
            name = self._make()
            fill(self._server.url(name))
            self._filled[fill] = name
        name = self._make(f"TEMPLATE {self._filled[fill]} STRATEGY file_copy")
        yield self._server.url(name)
        self._server.does(f"DROP DATABASE {name} WITH (FORCE)")

    def _make(self, how: str = "") -> str:
        name = f"store_{next(self._numbers)}"
        self._server.does(f"CREATE DATABASE {name} {how}")
        return name


@contextmanager
def started(name: str) -> Iterator[Engine]:
    """An engine by its name, for as long as tests need it."""
    with ExitStack() as stack:
        yield {"sqlite": Sqlite, "postgresql": Postgresql}[name](stack)
