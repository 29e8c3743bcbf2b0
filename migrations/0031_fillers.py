"""What a filler's data sheet says of how much of it thickens a mix.

`consistencies` is a JSON list, in millionths: of loose parts to one of mixed resin, or of grams to
the kilogram. The names of consistencies are the program's own, so no list of them stands here.
"""

from __future__ import annotations

from typing import Any

from cureyard_migrations.dialect import on_sqlite
from cureyard_migrations.seals import seal_as_found

COLUMNS = (
    ("bulk_density_mg_l", "{int} CHECK (bulk_density_mg_l > 0)"),
    ("particle_density_mg_l", "{int} CHECK (particle_density_mg_l > 0)"),
    ("consistencies", "TEXT NOT NULL DEFAULT '[]'"),
)


def up(migrator: Any, db: Any) -> None:
    """Add the columns."""
    whole = "INTEGER" if on_sqlite(db) else "BIGINT"
    for name, kind in COLUMNS:
        db.execute_sql(f"ALTER TABLE product ADD COLUMN {name} {kind.format(int=whole)}")
    seal_as_found(db, 31, (), ("product",))


def down(migrator: Any, db: Any) -> None:
    """Drop them."""
    for name, _ in reversed(COLUMNS):
        db.execute_sql(f"ALTER TABLE product DROP COLUMN {name}")
    seal_as_found(db, 30, (), ("product",))
