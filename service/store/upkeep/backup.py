"""A backup of a store into one file, while others go on writing, and proved before it counts.

An SQLite file is copied by SQLite's own online backup in one go: one state of the store, which
in WAL mode keeps no writer waiting. PostgreSQL is dumped by its own `pg_dump` in its custom form,
of the very snapshot that was proved, and not compressed: photographs get no smaller, and packing
500 of them takes a minute instead of seconds. Either file ends with its checksum: see `checksum`.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from pathlib import Path
from typing import Any

from cureyard_migrations.dialect import on_sqlite
from peewee import DatabaseError

from ..engine.database import opened, reading
from ..engine.faults import NoBackup
from ..engine.sealing import tie_all
from . import checksum, pg_programs
from .account import Account, account


def back_up(db: Any, file: Path) -> Account:
    """Back the store in use up.

    Args:
        file: must not be there yet. It is made for its owner's eyes alone, and whole or not at all.

    Returns:
        What is in the backup.

    Raises: NoBackup with no file left behind.
    """
    with _made(file) as part:
        found = _copied(db, part) if on_sqlite(db) else _dumped(db, part)
        checksum.add(part)
        return found


@contextmanager
def _made(file: Path) -> Iterator[Path]:
    """A part to write beside a new file, which becomes that file once it is on the disk."""
    part = file.with_name(f"{file.name}.part")
    try:
        file.touch(mode=0o600, exist_ok=False)
    except FileExistsError as error:
        raise NoBackup(f"{file} exists already.", advice="Name a new file.") from error
    except OSError as error:
        said = error.strerror
        raise NoBackup(f"{file} can't be made: {said}.", advice="Check its folder.") from error
    try:
        part.unlink(missing_ok=True)
        part.touch(mode=0o600)
        yield part
        flush(part)
        part.replace(file)
        flush(file.parent)
    except BaseException as error:
        part.unlink(missing_ok=True)
        file.unlink()
        if isinstance(error, (OSError, sqlite3.Error)):
            raise NoBackup(
                f"{file} can't be written: {error}.", advice="Make room on its disk."
            ) from error
        raise


def _copied(db: Any, part: Path) -> Account:
    with closing(sqlite3.connect(part)) as copy:
        db.connection().backup(copy)  # the store's own: its disk may take no second one
    with opened(str(part)) as copied:
        see_that_it_is_sound(copied)
        return account(copied)


def _dumped(db: Any, part: Path) -> Account:
    with suppress(DatabaseError):  # what is not tied is in the dump all the same
        tie_all(db)
    with reading():
        snapshot, schema = db.execute_sql(
            "SELECT pg_export_snapshot(), quote_ident(current_schema())"
        ).fetchone()
        found = account(db)
        pg_programs.run(
            "pg_dump", db.database, "--format=custom", "--compress=0",
            f"--snapshot={snapshot}", f"--schema={schema}",
            "--no-owner", "--no-privileges", f"--file={part}",
        )  # fmt: skip
    pg_programs.run("pg_restore", db.database, "--list", str(part))
    return found


def see_that_it_is_sound(db: Any) -> None:
    """Have SQLite look at every page of a file.

    Raises: NoBackup where one is damaged.
    """
    found = [row for (row,) in db.execute_sql("PRAGMA integrity_check(1)").fetchall()]
    if found != ["ok"]:
        raise NoBackup(f"{db.database} is damaged: {found[0]}.", advice="Use an older backup.")


def flush(path: Path) -> None:
    """See that a file, or what a folder says of its files, is on the disk."""
    if os.name == "nt" and path.is_dir():
        return  # Windows keeps its folders by itself
    handle = os.open(path, os.O_RDONLY if path.is_dir() else os.O_RDWR)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
