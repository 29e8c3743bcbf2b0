"""How sure a yard's bands are: the chance on the other side of each edge, in percent."""

from __future__ import annotations

from typing import Any

from cureyard_migrations.dialect import on_sqlite


def up(migrator: Any, db: Any) -> None:
    """Add the column; a yard that said nothing has 95."""
    whole = "INTEGER" if on_sqlite(db) else "BIGINT"
    db.execute_sql(
        f"ALTER TABLE yard ADD COLUMN sureness {whole} NOT NULL DEFAULT 95 "
        "CHECK (sureness BETWEEN 90 AND 99)"
    )


def down(migrator: Any, db: Any) -> None:
    """Drop it."""
    db.execute_sql("ALTER TABLE yard DROP COLUMN sureness")
