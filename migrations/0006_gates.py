"""Which profile of quality gates the yard goes by, and the readings that made a hardness.

`profile` names a profile of the program's own data, so no list of names stands here: one may be
added without a migration. `readings` is JSON, Barcol figures in the order taken.
"""

from __future__ import annotations

from typing import Any

COLUMNS = {
    "yard": ("profile", "TEXT NOT NULL DEFAULT 'plain' CHECK (profile <> '')"),
    "layup_observation": ("readings", "TEXT"),
}


def up(migrator: Any, db: Any) -> None:
    """Add both columns: every yard begins with plain good practice."""
    for table, (name, kind) in COLUMNS.items():
        db.execute_sql(f"ALTER TABLE {table} ADD COLUMN {name} {kind}")


def down(migrator: Any, db: Any) -> None:
    """Drop them: a hardness keeps its value, not the readings that made it."""
    for table, (name, _) in COLUMNS.items():
        db.execute_sql(f"ALTER TABLE {table} DROP COLUMN {name}")
