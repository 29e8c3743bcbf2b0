"""Whether the store itself still stands: its guards, its references, its tables."""

from __future__ import annotations

from typing import Any

from cureyard_migrations.dialect import guard_names, signed_guard_names

from ..tables import APPEND_ONLY, SHUT_BY_SIGNATURE
from .drift import drift

MOST_FINDINGS = 100
"""Rows that one check names; there is no use in a longer list."""


def guards_stand(db: Any) -> list[str]:
    """Every table still has the triggers that refuse a change, and a write to a signed job."""
    if hasattr(db, "pragma"):
        rows = db.execute_sql("SELECT name FROM sqlite_master WHERE type = 'trigger'")
    else:
        rows = db.execute_sql("SELECT tgname FROM pg_trigger WHERE tgenabled <> 'D'")
    standing = {name for (name,) in rows.fetchall()}
    tables = [model._meta.table_name for model in APPEND_ONLY]
    wanted = [name for table in tables for name in guard_names(db, table)]
    wanted += [
        name
        for table, changes in SHUT_BY_SIGNATURE.items()
        for name in signed_guard_names(db, table, changes=changes)
    ]
    return [f"trigger {name} is gone" for name in wanted if name not in standing]


def references_lead_somewhere(db: Any) -> list[str]:
    """No row points at a row that is not there."""
    if hasattr(db, "pragma"):
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
