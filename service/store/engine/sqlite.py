"""SQLite as a store uses it: one file, which must stay the file that was opened."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any

from peewee import OperationalError, SqliteDatabase

from ...core.errors import Refusal, StoreFull
from .faults import FULL, NotAStore, StoreUnusable, named
from .sealing import SealingDatabase

PRAGMAS = {"journal_mode": "wal", "synchronous": "full", "foreign_keys": "on"}
"""What was answered is on the disk: with `synchronous=FULL` in WAL mode the log is synchronised at
every commit, which NORMAL leaves out, so that a power cut may take commits back (its own words:
sqlite.org/wal.html, 'Performance Considerations', and sqlite.org/pragma.html#pragma_synchronous).
"""


_NO_ROOM = {"SQLITE_FULL", "SQLITE_IOERR", "SQLITE_CANTOPEN", "SQLITE_READONLY"}
"""Its names of errors where it can't write what it needs beside the file to read it."""


class Sqlite(SealingDatabase, SqliteDatabase):
    """A store in a file that is there.

    A file that is deleted or replaced under a running program can still be written to, by
    whoever had it open: what is written is lost, with nobody told. So it is looked at first.

    Args:
        path: of the file.
        timeout: seconds that a write waits for the one before it.
    """

    def __init__(self, path: Path, timeout: float) -> None:
        super().__init__(str(path), pragmas=PRAGMAS, timeout=timeout)
        self._opened = _identity(self.database)
        self._barred: Refusal | StoreUnusable | None = None

    def begin(self, lock_type: str | None = None) -> None:
        """Begin a transaction.

        Raises: NotAStore where the file is gone. Where its disk takes no writing and the
        transaction may write: NotAStore, or StoreFull.
        """
        self._see_that_it_is_there()
        if lock_type is not None and self._barred is not None:
            self.close()  # so that the next try finds whether there is room again
            raise self._barred
        super().begin(lock_type)

    @contextmanager
    def on_a_copy(self) -> Iterator[None]:
        """Have this thread work on a copy of the store, which is gone afterwards.

        SQLite keeps a database without a name in memory, and what does not fit in a file that it
        deletes (sqlite.org/inmemorydb.html, 'Temporary Databases').
        """
        library: Any = self  # whose stubs leave these out
        own = library.connection()
        with closing(sqlite3.connect("", isolation_level=None)) as copy:
            own.backup(copy)
            copy.execute("PRAGMA synchronous = OFF")
            copy.execute("PRAGMA foreign_keys = ON")
            library._state.set_connection(copy)
            try:
                yield
            finally:
                library._state.set_connection(own)

    def rollback(self) -> None:
        """Undo what was begun, unless SQLite did so itself, as it does when its disk is full.

        See sqlite.org/lang_transaction.html, 'Response To Errors Within A Transaction'.
        """
        library: Any = super()  # whose stubs leave the types out
        if library.connection().in_transaction:
            library.rollback()

    def _connect(self) -> Any:
        self._see_that_it_is_there()  # the library would make an empty one
        library: Any = super()
        self._barred = None
        try:
            return library._connect()
        except (OperationalError, sqlite3.OperationalError) as error:
            if not named(error) & _NO_ROOM:
                raise
            return self._connect_to_read()

    def _connect_to_read(self) -> sqlite3.Connection:
        """A connection that only reads, where nothing can be written beside the file.

        On a full disk SQLite can't make the index of its log: alone with the file it does without
        one (sqlite.org/wal.html, 'Use of WAL Without Shared-Memory'). Where nothing may be written
        at all, a file whose log is empty is read as one that nobody changes (the same page,
        'Read-Only Databases').

        Raises: NotAStore where entries are in the log, and it can't be read.
        """
        file = Path(self.database)
        may_write = os.access(file, os.W_OK) and os.access(file.parent, os.W_OK)
        if may_write:
            connection = sqlite3.connect(self.database, self.timeout, isolation_level=None)
            connection.execute("PRAGMA locking_mode = EXCLUSIVE")
            self._barred = StoreFull(FULL[0], advice=FULL[1])
        else:
            _see_that_its_log_is_empty(file)
            address = f"{file.as_uri()}?immutable=1"
            connection = sqlite3.connect(address, uri=True, isolation_level=None)
            self._barred = NotAStore(
                f"{file} may not be written to.", advice="Check its disk and its permissions."
            )
        connection.execute("PRAGMA query_only = ON")
        return connection

    def _see_that_it_is_there(self) -> None:
        if _identity(self.database) != self._opened:
            raise NotAStore(
                f"{self.database} was deleted or moved, or another file put in its place.",
                advice="Stop this program, put the store back, and start it again.",
            )


def _see_that_its_log_is_empty(file: Path) -> None:
    log = Path(f"{file}-wal")
    if log.exists() and log.stat().st_size:
        raise NotAStore(
            f"The last entries are in {log}, and nothing may be written on that disk.",
            advice="Copy both files to another disk, and use the copy.",
        )


def _identity(path: str) -> tuple[int, int] | None:
    """What a file is told apart by, or None where there is none."""
    try:
        found = os.stat(path)
    except OSError:
        return None
    return found.st_dev, found.st_ino
