"""SQLite as a store uses it: one file, which must stay the file that was opened."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

from peewee import SqliteDatabase

from .faults import NotAStore
from .sealing import SealingDatabase

PRAGMAS = {"journal_mode": "wal", "synchronous": "full", "foreign_keys": "on"}
"""What was answered is on the disk: with `synchronous=FULL` in WAL mode the log is synchronised at
every commit, which NORMAL leaves out, so that a power cut may take commits back (its own words:
sqlite.org/wal.html, 'Performance Considerations', and sqlite.org/pragma.html#pragma_synchronous).
"""


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

    def begin(self, lock_type: str | None = None) -> None:
        """Begin a transaction.

        Raises: NotAStore where the file is gone.
        """
        self._see_that_it_is_there()
        super().begin(lock_type)

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
        return library._connect()

    def _see_that_it_is_there(self) -> None:
        if _identity(self.database) != self._opened:
            raise NotAStore(
                f"{self.database} was deleted or moved, or another file put in its place.",
                advice="Stop this program, put the store back, and start it again.",
            )


def _identity(path: str) -> tuple[int, int] | None:
    """What a file is told apart by, or None where there is none."""
    try:
        found = os.stat(path)
    except OSError:
        return None
    return found.st_dev, found.st_ino
