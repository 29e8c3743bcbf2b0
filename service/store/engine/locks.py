"""Who may change a store's tables: one migrator alone, or any number of servers, never both.

For an SQLite file the lock is an empty SQLite file beside it: the same library that
guards the store guards it on every system, and the lock ends with its process. A store
on PostgreSQL takes an advisory lock of the database instead.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from contextlib import AbstractContextManager, closing, contextmanager, suppress
from pathlib import Path
from typing import Any

from cureyard_migrations.dialect import on_sqlite
from peewee import OperationalError

from .faults import LockedElsewhere

PATIENCE_S = 10.0
"""How long to wait for another process to finish with the store."""

ADVISORY_KEY = 4_785_327_001
"""Any number that nothing else in the database locks."""


@contextmanager
def alone(db: Any, patience_s: float = PATIENCE_S) -> Iterator[None]:
    """Hold the store alone, to change its tables or put another in its place.

    Raises: LockedElsewhere while a server holds it, or another process changes it.
    """
    if on_sqlite(db):
        lock = _file_lock(db.database, "BEGIN EXCLUSIVE", patience_s)
    else:
        lock = _advisory_lock(db, "", patience_s)
    with lock:
        yield


def alone_with(path: Path, patience_s: float) -> AbstractContextManager[None]:
    """Hold a file's place alone, whatever is in it: the store there may be damaged, or gone.

    Raises: as `alone`.
    """
    return _file_lock(str(path), "BEGIN EXCLUSIVE", patience_s)


def shared_with(path: Path, patience_s: float = PATIENCE_S) -> AbstractContextManager[None]:
    """Share a file's place with others who use it, until nobody does.

    Raises: LockedElsewhere while another process holds it alone.
    """
    return _file_lock(str(path), "BEGIN", patience_s)


@contextmanager
def serving(db: Any, patience_s: float = PATIENCE_S) -> Iterator[None]:
    """Share the store with other servers and doors, for as long as a server runs.

    Raises: LockedElsewhere while another process changes its tables.
    """
    if on_sqlite(db):
        lock = _file_lock(db.database, "BEGIN", patience_s)
    else:
        lock = _advisory_lock(db, "_shared", patience_s)
    with lock:
        yield


@contextmanager
def _file_lock(path: str, begin: str, patience_s: float) -> Iterator[None]:
    _make_private(path, f"{path}.lock")
    beside = sqlite3.connect(f"{path}.lock", timeout=patience_s, isolation_level=None)
    with closing(beside):
        try:
            beside.execute(begin)
            beside.execute("SELECT count(*) FROM sqlite_master").fetchone()
        except sqlite3.OperationalError as error:
            if "locked" in str(error):
                raise _in_use() from error
            raise
        yield


def _make_private(path: str, lock: str) -> None:
    """Make the lock as private as its store: whoever may open it could hold it for ever.

    One that an earlier program left open to others is closed to them, by its owner.
    """
    with suppress(OSError):  # another's, or on a disk that takes no writing: opening it tells
        store = Path(path)
        mode = store.stat().st_mode & 0o666 if store.exists() else 0o600
        os.close(os.open(lock, os.O_CREAT | os.O_RDONLY, mode))
        if os.stat(lock).st_mode & 0o777 != mode:
            os.chmod(lock, mode)


@contextmanager
def _advisory_lock(db: Any, kind: str, patience_s: float) -> Iterator[None]:
    """PostgreSQL's lock for as long as a connection of its own; kind '' or '_shared'."""
    own = db.another()
    try:
        own.execute_sql(f"SET lock_timeout = '{patience_s:.3f}s'")
        try:
            own.execute_sql(f"SELECT pg_advisory_lock{kind}({ADVISORY_KEY})")
        except OperationalError as error:
            raise _in_use() from error
        yield
    finally:
        own.close()


def _in_use() -> LockedElsewhere:
    return LockedElsewhere(
        "Another process uses the store.",
        advice="Stop the server that uses it, or wait until it is done, and try again.",
    )
