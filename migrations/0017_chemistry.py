"""What chemistry rules go by: a resin that comes promoted, a mat's binder, what a layup lies on.

Each is NULL where nobody said. The names of binders and of surfaces are the program's own, so no
list of them stands here.
"""

from __future__ import annotations

from typing import Any

from cureyard_migrations.dialect import on_sqlite

COLUMNS = (
    ("product", "promoted", "{int} CHECK (promoted IN (0, 1))"),
    ("product", "binder", "TEXT CHECK (binder <> '')"),
    ("layup", "over_surface", "TEXT CHECK (over_surface <> '')"),
)


def up(migrator: Any, db: Any) -> None:
    """Add the columns."""
    whole = "INTEGER" if on_sqlite(db) else "BIGINT"
    for table, name, kind in COLUMNS:
        db.execute_sql(f"ALTER TABLE {table} ADD COLUMN {name} {kind.format(int=whole)}")


def down(migrator: Any, db: Any) -> None:
    """Drop them."""
    for table, name, _ in COLUMNS:
        db.execute_sql(f"ALTER TABLE {table} DROP COLUMN {name}")
