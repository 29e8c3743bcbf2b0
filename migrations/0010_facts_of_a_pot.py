"""What is known of a pot stands with the pot: no percent or factor of a whole layup.

A layup without pots keeps the percent that was stated of it. Whether a pot was filled is written
down with it; of older pots it is what was drawn for them that tells.
"""

from __future__ import annotations

from typing import Any

from cureyard_migrations.dialect import guard, guard_names, on_sqlite

FILLED = """
UPDATE batch SET filled = 1 WHERE id IN (
    SELECT m.batch_id FROM movement m
    JOIN lot l ON l.id = m.lot_id
    JOIN product p ON p.id = l.product_id
    WHERE m.batch_id IS NOT NULL AND p.role = 'filler' AND p.effects = ''
)
"""
OF_POTS = "SELECT {what} FROM layup_batch lb JOIN batch b ON b.id = lb.batch_id WHERE lb.layup_id = layup.id"  # noqa: E501
WITH_POTS = "id IN (SELECT layup_id FROM layup_batch)"


def up(migrator: Any, db: Any) -> None:
    """Move them."""
    db.execute_sql(f"ALTER TABLE batch ADD COLUMN filled {_flag(db)}")
    _unguarded(db, "batch", FILLED)
    db.execute_sql("ALTER TABLE layup RENAME COLUMN percent_ppm TO stated_percent_ppm")
    db.execute_sql(f"UPDATE layup SET stated_percent_ppm = NULL WHERE {WITH_POTS}")  # noqa: S608
    db.execute_sql("ALTER TABLE layup DROP COLUMN factor_ppm")
    db.execute_sql("ALTER TABLE layup DROP COLUMN fillers")


def down(migrator: Any, db: Any) -> None:
    """Write them to the layup again: the weakest pot's percent, the slowest pot's factor."""
    kind = "INTEGER" if on_sqlite(db) else "BIGINT"
    db.execute_sql("ALTER TABLE layup RENAME COLUMN stated_percent_ppm TO percent_ppm")
    db.execute_sql(
        f"ALTER TABLE layup ADD COLUMN factor_ppm {kind} NOT NULL DEFAULT 1000000"
        " CHECK (factor_ppm > 0)"
    )
    db.execute_sql(f"ALTER TABLE layup ADD COLUMN fillers {_flag(db, 'fillers')}")
    for column, what in (
        ("percent_ppm", "MIN(b.percent_ppm)"),
        ("factor_ppm", "MAX(b.factor_ppm)"),
        ("fillers", "MAX(b.filled)"),
    ):
        worst = OF_POTS.format(what=what)
        db.execute_sql(f"UPDATE layup SET {column} = ({worst}) WHERE {WITH_POTS}")  # noqa: S608
    db.execute_sql("ALTER TABLE batch DROP COLUMN filled")


def _flag(db: Any, name: str = "filled") -> str:
    kind = "INTEGER" if on_sqlite(db) else "BIGINT"
    return f"{kind} NOT NULL DEFAULT 0 CHECK ({name} IN (0, 1))"


def _unguarded(db: Any, table: str, change: str) -> None:
    """Make a change to an append-only table: its guards are away meanwhile, in one transaction."""
    for name in guard_names(db, table):
        db.execute_sql(f"DROP TRIGGER {name}" + ("" if on_sqlite(db) else f" ON {table}"))
    db.execute_sql(change)
    guard(db, table)
