"""The store's connection and its transactions: one writer at a time, on either database.

On SQLite a write begins with BEGIN IMMEDIATE, on PostgreSQL with an advisory lock that
ends with the transaction, so what an act has read is still so when it writes. A connection
is kept for each thread.
"""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from peewee import (
    Database,
    DatabaseError,
    DatabaseProxy,
    ImproperlyConfigured,
    OperationalError,
    SqliteDatabase,
)

from ..core import errors
from .faults import NotAStore, WrongVersion
from .files import check_or_mark
from .postgresql import Postgresql
from .versions import code_version, schema_version, version_matches

db = DatabaseProxy()
"""The store in use; `open_store` binds it."""

PATIENCE_S = 5.0
"""How long a write waits for the one before it."""

_PRAGMAS = {"journal_mode": "wal", "synchronous": "full", "foreign_keys": "on"}
_WAIT_TO_WRITE = """
    SELECT set_config('lock_timeout', %s, true), pg_advisory_xact_lock(4785327002)
"""
_BUSY = {"SQLITE_BUSY", "SQLITE_LOCKED", "55P03", "40P01", "40001"}
_FULL = {"SQLITE_FULL", "53100"}
_DAMAGED = {"SQLITE_CORRUPT", "SQLITE_NOTADB"}
_SCHEME = "sqlite:///"

_open = threading.local()


def open_store(url: str) -> Database:
    """Open a store and bind `db` to it; its tables may still want `migrate_forward`.

    Args:
        url: `sqlite:///path`, a plain path, or `postgresql://…`.

    Raises: NotAStore when it is something else, or damaged; the file is left untouched.
    """
    if url.startswith("postgresql://"):
        database: Database = Postgresql(url, PATIENCE_S)
    elif "://" in url and not url.startswith(_SCHEME):
        raise NotAStore(
            f"'{url.partition('://')[0]}' is no kind of store.",
            advice="Use sqlite:///path or postgresql://…",
        )
    else:
        path = Path(url.removeprefix(_SCHEME)).absolute()
        check_or_mark(path)
        database = SqliteDatabase(str(path), pragmas=_PRAGMAS, timeout=PATIENCE_S)
    with _translated():
        _reach(database)
    db.initialize(database)
    return database


def _reach(database: Database) -> None:
    """See that the store answers.

    Raises: NotAStore where its driver is not installed, or nothing answers.
    """
    try:
        schema_version(database)
    except ImproperlyConfigured as error:
        raise NotAStore(
            "The driver of PostgreSQL is not installed.",
            advice="Install it: pip install 'cureyard[postgresql]'.",
        ) from error
    except OperationalError as error:
        if _causes(error) & (_BUSY | _FULL | _DAMAGED):
            raise
        raise NotAStore(
            f"The store can't be opened: {str(error).strip()}.",
            advice="Check CUREYARD_DATABASE, and that its server runs.",
        ) from error


@contextmanager
def writing() -> Iterator[None]:
    """A transaction that may write: all of it happens, or nothing.

    Inside another it joins that one, and is undone with it.

    Raises: errors.Busy when others wrote for longer than `PATIENCE_S`; errors.StoreFull;
    WrongVersion when the tables were changed under a running program.
    """
    if _kind() == "reading":
        raise RuntimeError("a write can't begin inside a read: what it read may be old")
    if _kind() == "writing":
        yield
        return
    with _translated(), _transaction("writing", _begin_write):
        yield


@contextmanager
def reading() -> Iterator[None]:
    """One snapshot over several selects; inside another transaction it joins that one.

    Raises: errors.Busy.
    """
    if _kind() is not None:
        yield
        return
    with _translated(), _transaction("reading", _begin_read):
        yield


def _kind() -> str | None:
    return getattr(_open, "kind", None)


@contextmanager
def _transaction(kind: str, begin: Any) -> Iterator[None]:
    _open.kind = kind
    try:
        with begin():
            yield
    finally:
        _open.kind = None


@contextmanager
def _begin_write() -> Iterator[None]:
    if hasattr(db, "pragma"):
        with db.transaction("IMMEDIATE"):
            _check_version()
            yield
    else:
        with db.transaction("READ COMMITTED"):  # each select sees what the lock waited for
            db.execute_sql(_WAIT_TO_WRITE, (f"{db.timeout:.3f}s",))
            _check_version()
            yield


def _begin_read() -> Any:
    return db.transaction() if hasattr(db, "pragma") else db.transaction("REPEATABLE READ")


def _check_version() -> None:
    if not version_matches(db):
        raise WrongVersion(
            f"The store is at version {schema_version(db)}, this program at {code_version()}.",
            advice="Stop this program and start the newer one; it brings the store along.",
        )


@contextmanager
def _translated() -> Iterator[None]:
    try:
        yield
    except DatabaseError as error:
        causes = _causes(error)
        if causes & _BUSY:
            raise errors.Busy(
                "Somebody else was writing in the store all the while.",
                advice="Try again in a moment.",
            ) from error
        if causes & _FULL:
            raise errors.StoreFull(
                "There is no room left to write in the store.",
                advice="Free some space on its disk, then try again.",
            ) from error
        if causes & _DAMAGED:
            raise NotAStore(
                f"The store's file is damaged: {error}.", advice="Restore it from a backup."
            ) from error
        raise


def _causes(error: BaseException | None) -> set[str]:
    """The engine's own names of a fault: `SQLITE_BUSY` and its finer ones, or a SQLSTATE."""
    while error is not None:
        name = getattr(error, "sqlite_errorname", None) or getattr(error, "sqlstate", None)
        if name:
            return {name, "_".join(name.split("_")[:2])}
        error = error.__cause__ or error.__context__
    return set()
