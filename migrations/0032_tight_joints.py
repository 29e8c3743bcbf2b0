"""How wide a joint between two tight faces is, which cures by moisture from its edges; µm."""

from __future__ import annotations

from typing import Any

from cureyard_migrations.dialect import on_sqlite
from cureyard_migrations.seals import seal_as_found


def up(migrator: Any, db: Any) -> None:
    """Add the column."""
    whole = "INTEGER" if on_sqlite(db) else "BIGINT"
    db.execute_sql(f"ALTER TABLE layup ADD COLUMN tight_um {whole} CHECK (tight_um > 0)")
    seal_as_found(db, 32, (), ("layup",))


def down(migrator: Any, db: Any) -> None:
    """Drop it."""
    db.execute_sql("ALTER TABLE layup DROP COLUMN tight_um")
    seal_as_found(db, 31, (), ("layup",))
