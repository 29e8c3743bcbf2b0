"""A backup put in a store's place: looked at, brought to this version and proved before it counts.

The store that was there is kept aside: an SQLite file under another name, a PostgreSQL schema
under another name in the same database.
"""

from __future__ import annotations

import os
import shutil
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from . import files, logbook, pg_programs
from .account import Account, account
from .backup import flush, see_that_it_is_sound
from .database import opened, sqlite_path, writing
from .faults import NoBackup
from .hands import Hand
from .locks import PATIENCE_S, alone, alone_with
from .migrate import migrate_held
from .tables import MODELS
from .versions import HISTORY, schema_version

DUMP = b"PGDMP"
"""How a dump in PostgreSQL's custom form begins."""


@dataclass(frozen=True)
class Restored:
    """What came of a restore.

    Attributes:
        account: of the store as it is now. version: what the backup was of.
        kept: the name that the store which was there has now; None where there was none.
    """

    account: Account
    version: int
    kept: str | None


def restore(
    url: str, file: Path, *, now: int, hand: Hand, patience_s: float = PATIENCE_S
) -> Restored:
    """Put a backup in the place of the store at an address.

    Args:
        now: epoch seconds. hand: who is written in the restored store's logbook.
        patience_s: how long to wait for another process to finish with the store.

    Raises: StoreUnusable, with the store as it was.
    """
    path = sqlite_path(url)
    begins = _beginning(file)
    if (path is None) is not (begins == DUMP):
        there, here = ("PostgreSQL", "SQLite") if begins == DUMP else ("SQLite", "PostgreSQL")
        raise NoBackup(
            f"{file} is no backup of a store on {here}.",
            advice=f"Restore a store on {there}, and take it over with 'cureyard move-store'.",
        )

    def note() -> None:
        with writing():
            logbook.record("restored", f"store, from {file.name}", now=now, hand=hand)

    if path is None:
        return _into_database(url, file, _stamp(now), note, patience_s)
    return _into_file(path, file, _stamp(now), note, patience_s)


def _beginning(file: Path) -> bytes:
    try:
        with file.open("rb") as opened_file:
            return opened_file.read(len(DUMP))
    except OSError as error:
        raise NoBackup(f"{file} can't be read: {error.strerror}.", advice="Name one.") from error


def _stamp(now: int) -> str:
    return datetime.fromtimestamp(now, UTC).strftime("%Y%m%d_%H%M%S")


def _into_file(
    path: Path, file: Path, stamp: str, note: Callable[[], None], patience_s: float
) -> Restored:
    files.check(file)
    log = Path(f"{file}-wal")
    if log.exists() and log.stat().st_size:
        raise NoBackup(
            f"{file} is in use, and not all of it is in that file.",
            advice="Back it up with 'cureyard backup', and restore that.",
        )
    part = path.with_name(f"{path.name}.restoring")
    path.parent.mkdir(parents=True, exist_ok=True)
    with alone_with(path, patience_s), _removed(part):
        shutil.copyfile(file, part)
        part.chmod(0o600)
        with opened(str(part)) as database:
            see_that_it_is_sound(database)
            version, found = _brought_along(database, note)
        flush(part)
        kept = _set_aside(path, stamp)
        part.replace(path)
        flush(path.parent)
    return Restored(found, version, kept)


@contextmanager
def _removed(part: Path) -> Iterator[None]:
    """Leave nothing of a copy behind that did not become the store."""
    try:
        part.unlink(missing_ok=True)
        yield
    except (OSError, sqlite3.Error) as error:
        raise NoBackup(f"It can't be copied: {error}.", advice="The store is as it was.") from error
    finally:
        for name in (part, Path(f"{part}-wal"), Path(f"{part}-shm")):
            name.unlink(missing_ok=True)


def _set_aside(path: Path, stamp: str) -> str | None:
    """Give a store's file another name, and leave it its own until another takes its place.

    So there is no moment without a store, in which a program that starts would make a new one.
    A log that SQLite can't write back, as of a damaged file, goes along with it.
    """
    if not path.exists():
        return None
    kept = path.with_name(f"{path.name}.before_{stamp}")
    if kept.exists():
        raise NoBackup(f"{kept} is there already.", advice="Try again in a second.")
    with suppress(sqlite3.Error), closing(sqlite3.connect(path)) as old:
        old.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    os.link(path, kept)
    for ending in ("-wal", "-shm"):
        part = Path(f"{path}{ending}")
        if part.exists():
            part.rename(f"{kept}{ending}")
    return str(kept)


def _into_database(
    url: str, file: Path, stamp: str, note: Callable[[], None], patience_s: float
) -> Restored:
    pg_programs.run("pg_restore", url, "--list", str(file))
    with opened(url) as database, alone(database, patience_s):
        schema, name = database.execute_sql(
            "SELECT quote_ident(current_schema()), current_database()"
        ).fetchone()
        there = _only_ours(database)
        kept = f"before_{stamp}"
        database.execute_sql(f"ALTER SCHEMA {schema} RENAME TO {kept}")
        try:
            pg_programs.run(
                "pg_restore", url, "--exit-on-error", "--single-transaction", "--no-owner",
                "--no-privileges", f"--dbname={name}", str(file),
            )  # fmt: skip
            version, found = _brought_along(database, note)
        except BaseException:
            database.execute_sql(f"DROP SCHEMA IF EXISTS {schema} CASCADE")
            database.execute_sql(f"ALTER SCHEMA {kept} RENAME TO {schema}")
            raise
        if not there:
            database.execute_sql(f"DROP SCHEMA {kept} CASCADE")
    return Restored(found, version, f"schema {kept}" if there else None)


def _only_ours(db: Any) -> bool:
    """Whether a store is there; what is not of a store must not be set aside with it."""
    there = set(db.get_tables())
    others = there - {HISTORY} - {model._meta.table_name for model in MODELS}
    if others:
        raise NoBackup(
            f"The database also holds {', '.join(sorted(others)[:5])}.",
            advice="Restore into a database that has nothing but the store.",
        )
    return bool(there)


def _brought_along(db: Any, note: Callable[[], None]) -> tuple[int, Account]:
    """Bring a copy to this version, prove it and write up the restore.

    Returns:
        The version that it had, and what it amounts to.
    """
    version = schema_version(db)
    if version == 0:
        raise NoBackup("There is no store in that file.", advice="Name a backup of a store.")
    migrate_held(db)
    found = account(db)
    if found.findings:
        raise NoBackup(
            f"The books in that backup do not hold: {found.findings[0]}.",
            advice="Restore an older one; the store is as it was.",
        )
    note()
    return version, found
