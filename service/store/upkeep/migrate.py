"""Bring a store's tables forward to this code's version, or back, with the data in place."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from cureyard_migrations.dialect import on_sqlite

from ..engine.faults import MigrationFailed, NotAStore, WrongVersion
from ..engine.locks import PATIENCE_S, alone
from ..engine.sealing import away
from ..engine.versions import MIGRATIONS, newest, schema_version

__all__ = ["migrate_back", "migrate_forward", "migrate_held", "schema_version"]


def migrate_forward(
    db: Any, folder: Path = MIGRATIONS, patience_s: float = PATIENCE_S
) -> list[str]:
    """Apply what is missing, each migration whole or not at all.

    Returns:
        The names of the migrations applied; none when the store was up to date.

    Raises: WrongVersion for a store newer than the folder; LockedElsewhere while another
    process has it in use; MigrationFailed; NotAStore when rows no longer point at what they should.
    """
    if _missing(db, folder) == 0:
        return []
    with alone(db, patience_s):
        return migrate_held(db, folder)


def migrate_held(db: Any, folder: Path = MIGRATIONS) -> list[str]:
    """As `migrate_forward`, for who holds the store alone already."""
    _missing(db, folder)
    try:
        with away():
            applied: list[str] = _runner(db, folder).up()
    except Exception as error:
        raise MigrationFailed(
            f"A migration of the store broke off: {str(error).strip() or type(error).__name__}.",
            advice="What it had begun was undone; the earlier program still works with the store.",
        ) from error
    _check_references(db)
    return applied


def migrate_back(db: Any, to: int, folder: Path = MIGRATIONS) -> list[str]:
    """Undo every migration after number `to`, newest first; 0 leaves no table.

    Returns and raises: as `migrate_forward`.
    """
    _missing(db, folder)
    with alone(db):
        runner = _runner(db, folder)
        undone: list[str] = []
        while schema_version(db) > to:
            with away():
                undone += runner.down()
        _check_references(db)
    return undone


def _missing(db: Any, folder: Path) -> int:
    at, latest = schema_version(db), newest(folder)
    if at > latest:
        raise WrongVersion(
            f"The store is at version {at}, and this program knows only up to {latest}.",
            advice="Update the program; the store was not touched.",
        )
    return latest - at


def _runner(db: Any, folder: Path) -> Any:
    from playhouse.migrations import Runner  # imported late: most starts migrate nothing

    return Runner(db, str(folder))


def _check_references(db: Any) -> None:
    """The runner works with SQLite's foreign keys off; see that none was broken meanwhile."""
    if not on_sqlite(db):
        return
    broken = db.execute_sql("PRAGMA foreign_key_check").fetchall()
    if broken:
        tables = ", ".join(sorted({row[0] for row in broken}))
        raise NotAStore(
            f"After the migration {len(broken)} rows refer to missing rows, in: {tables}.",
            advice="Restore the backup from before the migration, and report this.",
        )
