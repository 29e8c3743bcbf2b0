"""When a bay's thermometer was last checked, and whether the bay is in the open.

NULL where nobody said when; a bay of before these columns is taken to be indoors.
"""

from __future__ import annotations

from typing import Any

from cureyard_migrations.dialect import on_sqlite


def up(migrator: Any, db: Any) -> None:
    """Add both columns."""
    whole = "INTEGER" if on_sqlite(db) else "BIGINT"
    db.execute_sql(
        "ALTER TABLE bay ADD COLUMN checked_on TEXT CHECK (checked_on LIKE '____-__-__')"
    )
    db.execute_sql(
        f"ALTER TABLE bay ADD COLUMN in_the_open {whole} NOT NULL DEFAULT 0 "
        "CHECK (in_the_open IN (0, 1))"
    )


def down(migrator: Any, db: Any) -> None:
    """Drop them."""
    db.execute_sql("ALTER TABLE bay DROP COLUMN in_the_open")
    db.execute_sql("ALTER TABLE bay DROP COLUMN checked_on")
