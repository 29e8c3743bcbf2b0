"""The store's connection and its transactions: what an act decides on stays so until it ends.

On SQLite a write begins with BEGIN IMMEDIATE, and so there is one at a time. On PostgreSQL it
begins with the locks of its turn, which end with it: see `turns`. A connection is kept for each
thread.
"""

from __future__ import annotations

import random
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, TypeVar, cast

from cureyard_migrations.dialect import on_sqlite
from peewee import (
    Database,
    DatabaseError,
    DatabaseProxy,
    ImproperlyConfigured,
    OperationalError,
)

from ...core import errors
from . import turns
from .faults import NoAnswer, NotAStore, WrongVersion, clashed, lost, opens, translated
from .files import check_or_mark
from .postgresql import Postgresql
from .sealing import away, sealed, tie
from .sqlite import Sqlite
from .turns import Turn
from .versions import code_version, schema_version, version_matches

db = DatabaseProxy()
"""The store in use; `open_store` binds it."""

PATIENCE_S = 5.0
"""How long a write waits for the one before it."""

_SCHEME = "sqlite:///"

_PAUSES_S = (0.02, 0.1, 0.5)
"""How long a write that clashed with another rests before it is tried again."""

_open = threading.local()
_Made = TypeVar("_Made")


def open_store(url: str) -> Database:
    """Open a store and bind `db` to it; its tables may still want `migrate_forward`.

    Args:
        url: `sqlite:///path`, a plain path, or `postgresql://…`.

    Raises: NotAStore when it is something else, or damaged; the file is left untouched.
    """
    path = sqlite_path(url)
    if path is None:
        database: Database = Postgresql(url, PATIENCE_S)
    else:
        check_or_mark(path)
        database = Sqlite(path, PATIENCE_S)
    try:
        with translated():
            _reach(database)
    except BaseException:
        database.close()
        raise
    db.initialize(database)
    return database


@contextmanager
def opened(url: str) -> Iterator[Database]:
    """A store in use for a while; after it, the one that was in use before.

    Raises: as `open_store`.
    """
    before = db.obj
    database = open_store(url)
    try:
        yield database
    finally:
        database.close()
        if before is not None:
            db.initialize(before)


def sqlite_path(url: str) -> Path | None:
    """The file of a store's address; None for one on PostgreSQL.

    Raises: NotAStore for an address of another kind.
    """
    if url.startswith("postgresql://"):
        return None
    if "://" in url and not url.startswith(_SCHEME):
        raise NotAStore(
            f"A store's address does not begin with '{url.partition('://')[0]}'.",
            advice="Write it as sqlite:///path or postgresql://…",
        )
    return Path(url.removeprefix(_SCHEME)).absolute()


def _reach(database: Database) -> None:
    """See that the store answers.

    Raises: NotAStore where its driver is not installed, or nothing answers.
    """
    try:
        if schema_version(database) == 0 and not on_sqlite(database):
            _see_its_schema(database)
    except ImproperlyConfigured as error:
        raise NotAStore(
            "The driver of PostgreSQL is not installed.",
            advice="Install it: pip install 'cureyard[postgresql]'.",
        ) from error
    except OperationalError as error:
        if opens(error) or on_sqlite(database):
            raise
        raise NoAnswer(
            f"The store can't be opened: {str(error).strip().rstrip('.?')}.",
            advice="Check the store's address, and that its database server runs.",
        ) from error


def _see_its_schema(database: Database) -> None:
    (schema,) = database.execute_sql("SELECT current_schema()").fetchone()
    if schema is None:
        raise NotAStore(
            "The database has no schema for a store.",
            advice="If a restore broke off, rename the schema that it kept: "
            "ALTER SCHEMA before_… RENAME TO public.",
        )


@contextmanager
def writing(turn: Turn = Turn.ALONE, key: str | None = None) -> Iterator[None]:
    """A transaction that may write: all of it happens, or nothing.

    Inside another it joins that one, and is undone with it.

    Args:
        turn: how it has the yard. key: of the request, whose twin waits.

    Raises: errors.Busy when others wrote for longer than `PATIENCE_S`; errors.StoreFull;
    WrongVersion when the tables were changed under a running program.
    """
    if _kind() == "reading":
        raise RuntimeError("a write can't begin inside a read: what it read may be old")
    if _kind() == "writing":
        if turn > _open.turn:
            raise RuntimeError(f"a write that is {turn.name} can't join one {_open.turn.name}")
        yield
        return
    _open.turn = turn
    with translated(), _transaction("writing", lambda: _begin_write(turn, key)):
        yield


def is_writing() -> bool:
    """Whether a transaction that may write is open in this thread."""
    return _kind() == "writing"


@contextmanager
def trying() -> Iterator[None]:
    """A transaction whose writes are all undone at its end, and which keeps no writer waiting.

    SQLite lets one write at a time, so there it is on a copy of the store as it is now. PostgreSQL
    keeps what is not committed apart, so there it does without the lock that writes wait for.

    Raises: as `reading`.
    """
    if _kind() is not None:
        raise RuntimeError("a trial can't begin inside another transaction")
    _open.turn = Turn.ALONE
    with translated(), _transaction("writing", _begin_trial):
        yield


@contextmanager
def _begin_trial() -> Iterator[None]:
    if on_sqlite(db):
        with db.obj.on_a_copy(), away(), db.transaction("IMMEDIATE") as all_of_it:
            yield
            all_of_it.rollback()
    else:
        with away(), db.transaction("READ COMMITTED") as all_of_it:
            yield
            all_of_it.rollback()


def write(
    act: Callable[[], _Made],
    *,
    known: bool = False,
    turn: Turn = Turn.ALONE,
    key: str | None = None,
) -> _Made:
    """Do an act in one transaction, and again where the engine undid it for another's sake.

    Args:
        act: must leave what it was given as it was.
        known: whether an act that was done already says so instead of doing it twice. It is
            then also tried again where the connection broke off in its commit.
        turn, key: as for `writing`.

    Raises: as `writing`; errors.Unsure when it may have been done.
    """
    unsure = False
    for pause in (*_PAUSES_S, None):
        try:
            with writing(turn, key):
                return act()
        except errors.Busy as busy:
            broke_off = isinstance(busy, errors.Unsure)
            unsure = unsure or broke_off
            if pause is None or not (clashed(busy.__cause__) or (known and broke_off)):
                raise _unsure() if unsure else busy from busy.__cause__
            time.sleep(pause * random.random())  # noqa: S311 (so that two do not clash again)
    raise AssertionError("the last try returns or raises")


@contextmanager
def reading() -> Iterator[None]:
    """One snapshot over several selects; inside another transaction it joins that one.

    Raises: errors.Busy.
    """
    if _kind() is not None:
        yield
        return
    with translated(), _transaction("reading", _begin_read):
        yield


def is_reading() -> bool:
    """Whether a transaction that only reads is open in this thread."""
    return _kind() == "reading"


def once(name: str, find: Callable[[], _Made]) -> _Made:
    """What this transaction found before under a name, or what it finds now.

    Outside of one it is found each time. Whoever writes what was found calls `forget`.
    """
    found: dict[str, Any] | None = getattr(_open, "found", None)
    if found is None:
        return find()
    if name not in found:
        found[name] = find()
    return cast(_Made, found[name])


def forget(name: str) -> None:
    """Have something found anew in this transaction."""
    found: dict[str, Any] | None = getattr(_open, "found", None)
    if found is not None:
        found.pop(name, None)


def _kind() -> str | None:
    return getattr(_open, "kind", None)


@contextmanager
def _transaction(kind: str, begin: Any) -> Iterator[None]:
    _open.kind, _open.found = kind, {}
    try:
        with begin():
            yield
    finally:
        _open.kind = _open.found = None


@contextmanager
def _begin_write(turn: Turn, key: str | None) -> Iterator[None]:
    if on_sqlite(db):
        with db.transaction("IMMEDIATE"), sealed(db):
            _check_version()
            yield
    else:
        with _certain(), db.transaction("READ COMMITTED"):  # a select sees what was waited for
            try:
                turns.wait(db, turn, key)
                _check_version()
                with sealed(db):
                    yield
            finally:
                turns.over()
            _open.committing = True
        tie(db)


@contextmanager
def _certain() -> Iterator[None]:
    """Tell a connection that broke off in the commit itself from one that did before it."""
    _open.committing = False
    try:
        yield
    except DatabaseError as error:
        if _open.committing and lost(error):
            raise _unsure() from error
        raise


def _unsure() -> errors.Unsure:
    return errors.Unsure(
        "The store's database broke off while it was written to, so this may have been done.",
        advice="Look whether it was done before you do it again.",
    )


def _begin_read() -> Any:
    return db.transaction() if on_sqlite(db) else db.transaction("REPEATABLE READ")


def _check_version() -> None:
    if not version_matches(db):
        raise WrongVersion(
            f"The store is at version {schema_version(db)}, and this program at {code_version()}.",
            advice="Stop this program and start the newer one, which updates the store.",
        )
