"""A backup put in a store's place: looked at, brought to this version and proved before it counts.

The store that was there is kept aside: an SQLite file under another name, a PostgreSQL schema
under another name in the same database. Whom it knew is carried over: see `admitted`.
"""

from __future__ import annotations

import os
import re
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager, suppress
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from ...core.frozen import frozen
from ..engine import files
from ..engine.database import opened, sqlite_path, writing
from ..engine.faults import FileInUse, NoBackup, OtherEngine
from ..engine.locks import PATIENCE_S, alone, alone_with
from ..engine.versions import HISTORY, schema_version
from ..tables import MODELS
from ..yard import logbook, tokens
from ..yard.hands import Hand
from . import admitted, checksum, pg_programs
from .account import Account, account
from .admitted import Admitted, Carried
from .backup import flush, see_that_it_is_sound
from .migrate import migrate_held

Settle = Callable[[Admitted | None], Carried | None]
"""Writes up a restore in the copy that is in use, and carries over; what it carried."""

_DUMPED_ROW = re.compile(r"^COPY .*\n(?!\\\.$)", re.MULTILINE)
"""A table's rows in a dump written out begin after a line COPY, and end with one of `\\.` alone
(PostgreSQL's manual, COPY, 'Text Format')."""

DUMP = b"PGDMP"
"""How a dump in PostgreSQL's custom form begins."""


@frozen
class Restored:
    """What came of a restore.

    Attributes:
        account: of the store as it is now. version: what the backup was of.
        kept: the name that the store which was there has now; None where there was none.
        carried: what was carried over; None where the store that was there can't be read.
        has_tokens: whether the store that is there now has any, so that everybody shows one.
        sealed: whether the backup had a checksum, and so is known to be as it was made.
    """

    account: Account
    version: int
    kept: str | None
    carried: Carried | None
    has_tokens: bool
    sealed: bool = False


@frozen
class Outlook:
    """Whom a restore would let in.

    Attributes:
        tokens: how many the store that is there has; None where it can't be read.
        in_backup: whether the backup has any.
    """

    tokens: int | None
    in_backup: bool

    @property
    def opens(self) -> bool:
        """Whether the backup, as it is, asks nobody for a token, and the store may do so now."""
        return not self.in_backup and self.tokens != 0


def look(url: str, file: Path) -> Outlook:
    """Whom a backup would let in, if it were put in the place of the store at an address.

    Raises: StoreUnusable.
    """
    path = _fitting(url, file)
    if path is None:
        checksum.is_sealed(file)
        listed = pg_programs.run("pg_restore", url, "--data-only", "--table=token", "--file=-",
                                 str(file))  # fmt: skip
        with opened(url) as database:
            today = admitted.in_database(database)
        in_backup = _DUMPED_ROW.search(listed) is not None
    else:
        _see_it_is_whole(file)
        checksum.is_sealed(file)
        backup = admitted.in_file(file, whole=True)
        if backup is None:
            raise NoBackup(f"{file} can't be read: it is damaged.", advice="Use an older backup.")
        today, in_backup = admitted.in_file(path), bool(backup.tokens)
    return Outlook(None if today is None else len(today.tokens), in_backup)


def restore(
    url: str,
    file: Path,
    *,
    now: int,
    hand: Hand,
    carry: bool = True,
    patience_s: float = PATIENCE_S,
) -> Restored:
    """Put a backup in the place of the store at an address.

    Args:
        now: epoch seconds. hand: who is written in the restored store's logbook.
        carry: whether the tokens of the store that is there, and what it has revoked, count on.
        patience_s: how long to wait for another process to finish with the store.

    Raises: StoreUnusable, with the store as it was.
    """
    path = _fitting(url, file)

    def settle(today: Admitted | None) -> Carried | None:
        with writing():
            logbook.record("restored", f"store, from {file.name}", now=now, hand=hand)
            carried = None if today is None else admitted.carry(today if carry else Admitted())
            if carried is not None and any(carried):
                told = f"{carried.tokens} made and {carried.revocations} revoked since the backup"
                logbook.record("tokens carried over", told, now=now, hand=hand)
        return carried

    if path is None:
        return _into_database(url, file, _stamp(now), settle, patience_s)
    return _into_file(path, file, _stamp(now), settle, patience_s)


def _fitting(url: str, file: Path) -> Path | None:
    """The file of the store, or None on PostgreSQL; a backup of the other kind is refused."""
    path = sqlite_path(url)
    begins = _beginning(file)
    if (path is None) is not (begins == DUMP):
        there, here = ("PostgreSQL", "SQLite") if begins == DUMP else ("SQLite", "PostgreSQL")
        raise OtherEngine(
            f"{file} is a backup of a store on {there}, and the store here is on {here}.",
            advice=f"Restore it in place of a store on {there}, then take that store over.",
        )
    return path


def _beginning(file: Path) -> bytes:
    try:
        with file.open("rb") as opened_file:
            return opened_file.read(len(DUMP))
    except OSError as error:
        raise NoBackup(
            f"{file} can't be read: {error.strerror}.", advice="Name a backup."
        ) from error


def _stamp(now: int) -> str:
    return datetime.fromtimestamp(now, UTC).strftime("%Y%m%d_%H%M%S")


def _see_it_is_whole(file: Path) -> None:
    files.check(file)
    log = Path(f"{file}-wal")
    if log.exists() and log.stat().st_size:
        raise FileInUse(
            f"A program uses {file}, and not all of the store is in that file yet.",
            advice="Back that store up, and restore the backup.",
        )


def _into_file(path: Path, file: Path, stamp: str, settle: Settle, patience_s: float) -> Restored:
    _see_it_is_whole(file)
    part = path.with_name(f"{path.name}.restoring")
    path.parent.mkdir(parents=True, exist_ok=True)
    with alone_with(path, patience_s), _removed(part):
        sealed = checksum.copy(file, part)
        part.chmod(0o600)
        with opened(str(part)) as database:
            see_that_it_is_sound(database)
            come = _brought_along(database, settle, admitted.in_file(path))
        flush(part)
        kept = _set_aside(path, stamp)
        part.replace(path)
        flush(path.parent)
    return replace(come, kept=kept, sealed=sealed)


@contextmanager
def _removed(part: Path) -> Iterator[None]:
    """Leave nothing of a copy behind that did not become the store."""
    try:
        part.unlink(missing_ok=True)
        yield
    except (OSError, sqlite3.Error) as error:
        raise NoBackup(
            f"The backup can't be copied: {error}.",
            advice="Check the disk; the store is as it was.",
        ) from error
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
        raise NoBackup(f"{kept} exists already.", advice="Try again in a second.")
    with suppress(sqlite3.Error), closing(sqlite3.connect(path)) as old:
        old.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    os.link(path, kept)
    for ending in ("-wal", "-shm"):
        part = Path(f"{path}{ending}")
        if part.exists():
            part.rename(f"{kept}{ending}")
    return str(kept)


def _into_database(url: str, file: Path, stamp: str, settle: Settle, patience_s: float) -> Restored:
    sealed = checksum.is_sealed(file)
    pg_programs.run("pg_restore", url, "--list", str(file))
    with opened(url) as database, alone(database, patience_s):
        schema, name = database.execute_sql(
            "SELECT quote_ident(current_schema()), current_database()"
        ).fetchone()
        there = _only_ours(database)
        today = admitted.in_database(database)
        kept = f"before_{stamp}"
        database.execute_sql(f"ALTER SCHEMA {schema} RENAME TO {kept}")
        try:
            pg_programs.run(
                "pg_restore", url, "--exit-on-error", "--single-transaction", "--no-owner",
                "--no-privileges", f"--dbname={name}", str(file),
            )  # fmt: skip
            come = _brought_along(database, settle, today)
        except BaseException:
            database.execute_sql(f"DROP SCHEMA IF EXISTS {schema} CASCADE")
            database.execute_sql(f"ALTER SCHEMA {kept} RENAME TO {schema}")
            raise
        if not there:
            database.execute_sql(f"DROP SCHEMA {kept} CASCADE")
    return replace(come, kept=f"schema {kept}" if there else None, sealed=sealed)


def _only_ours(db: Any) -> bool:
    """Whether a store is there; what is not of a store must not be set aside with it."""
    there = set(db.get_tables())
    others = there - {HISTORY} - {model._meta.table_name for model in MODELS}
    if others:
        raise NoBackup(
            f"The database also has tables of others: {', '.join(sorted(others)[:5])}.",
            advice="Restore into a database that has only the store.",
        )
    return bool(there)


def _brought_along(db: Any, settle: Settle, today: Admitted | None) -> Restored:
    """Bring a copy to this version, prove it, write up the restore and carry over whom to know.

    Args:
        today: whom the store knows whose place it takes.
    """
    version = schema_version(db)
    if version == 0:
        raise NoBackup("There is no store in that file.", advice="Name a backup of a store.")
    migrate_held(db)
    found = account(db)
    if found.findings:
        raise NoBackup(
            f"The books in that backup don't add up: {found.findings[0]}.",
            advice="Restore an older one; the store is as it was.",
        )
    carried = settle(today)
    return Restored(found, version, None, carried, tokens.any_made())
