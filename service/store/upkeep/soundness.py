"""Whether the store itself still stands: its guards, its references, its tables."""

from __future__ import annotations

from typing import Any

from cureyard_migrations.dialect import on_sqlite

from .drift import drift
from .schema import differences

MOST_FINDINGS = 100
"""Rows that one check names; there is no use in a longer list."""


def guards_stand(db: Any) -> list[str]:
    """Triggers and indexes are there as the program made them, and nobody put others beside."""
    return differences(db)


def references_lead_somewhere(db: Any) -> list[str]:
    """No row points at a row that is not there."""
    if on_sqlite(db):
        rows = db.execute_sql("PRAGMA foreign_key_check").fetchmany(MOST_FINDINGS)
    else:
        rows = [row for key in db.execute_sql(_KEYS).fetchall() for row in _astray(db, *key)]
    return [f"table {table}: row {row} points at no {target}" for table, row, target, *_ in rows]


_KEYS = """
    SELECT c.conrelid::regclass::text, a.attname, c.confrelid::regclass::text
    FROM pg_constraint c JOIN pg_attribute a ON a.attrelid = c.conrelid AND a.attnum = c.conkey[1]
    WHERE c.contype = 'f' AND c.connamespace = current_schema()::regnamespace ORDER BY 1, 2
"""
"""PostgreSQL's foreign keys: table, column, target. Ours have one column, and lead to an id."""


def _astray(db: Any, table: str, column: str, target: str) -> list[tuple[Any, ...]]:
    """Rows that a session with its checks off, such as a restore, left pointing at nothing."""
    sql = f"""
        SELECT '{table}', r.id, '{target}' FROM {table} r LEFT JOIN {target} t ON t.id = r.{column}
        WHERE r.{column} IS NOT NULL AND t.id IS NULL ORDER BY r.id LIMIT {MOST_FINDINGS}
    """
    rows: list[tuple[Any, ...]] = db.execute_sql(sql).fetchall()
    return rows


def tables_are_the_models(db: Any) -> list[str]:
    """The store's tables are those that this program was written for."""
    return drift(db)
