"""Who may change a store's tables: one migrator alone, or any number of servers, never both.

For an SQLite file the lock is an empty SQLite file beside it: the same library that
guards the store guards it on every system, and the lock ends with its process. A store
on PostgreSQL takes an advisory lock of the database instead.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from typing import Any

from .faults import LockedElsewhere

PATIENCE_S = 10.0
"""How long to wait for another process to finish with the store."""

ADVISORY_KEY = 4_785_327_001
"""Any number that nothing else in the database locks."""


@contextmanager
def alone(db: Any) -> Iterator[None]:
    """Hold the store alone, to change its tables or put another in its place.

    Raises: LockedElsewhere while a server holds it, or another process changes it.
    """
    if hasattr(db, "pragma"):
        lock = _file_lock(db.database, "BEGIN EXCLUSIVE")
    else:
        lock = _advisory_lock(db, "pg_try_advisory_lock", "pg_advisory_unlock")
    with lock:
        yield


@contextmanager
def serving(db: Any) -> Iterator[None]:
    """Share the store with other servers and doors, for as long as a server runs.

    Raises: LockedElsewhere while another process changes its tables.
    """
    if hasattr(db, "pragma"):
        lock = _file_lock(db.database, "BEGIN")
    else:
        lock = _advisory_lock(db, "pg_try_advisory_lock_shared", "pg_advisory_unlock_shared")
    with lock:
        yield


@contextmanager
def _file_lock(path: str, begin: str) -> Iterator[None]:
    beside = sqlite3.connect(f"{path}.lock", timeout=PATIENCE_S, isolation_level=None)
    with closing(beside):
        try:
            beside.execute(begin)
            beside.execute("SELECT count(*) FROM sqlite_master").fetchone()
        except sqlite3.OperationalError as error:
            if "locked" in str(error):
                raise _in_use() from error
            raise
        yield


@contextmanager
def _advisory_lock(db: Any, take: str, leave: str) -> Iterator[None]:
    (taken,) = db.execute_sql(f"SELECT {take}({ADVISORY_KEY})").fetchone()
    if not taken:
        raise _in_use()
    try:
        yield
    finally:
        db.execute_sql(f"SELECT {leave}({ADVISORY_KEY})")


def _in_use() -> LockedElsewhere:
    return LockedElsewhere(
        "Another process has the store in use.",
        advice="Stop the server that has it open, or wait until it is done, and try again.",
    )
