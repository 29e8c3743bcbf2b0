"""Whether the store itself still stands: its guards, its references, its tables."""

from __future__ import annotations

from typing import Any

from cureyard_migrations.dialect import guard_names

from .drift import drift
from .tables import APPEND_ONLY

MOST_FINDINGS = 100
"""Rows that one check names; there is no use in a longer list."""


def guards_stand(db: Any) -> list[str]:
    """Every append-only table still has the triggers that refuse a change."""
    if hasattr(db, "pragma"):
        rows = db.execute_sql("SELECT name FROM sqlite_master WHERE type = 'trigger'")
    else:
        rows = db.execute_sql("SELECT tgname FROM pg_trigger WHERE tgenabled <> 'D'")
    standing = {name for (name,) in rows.fetchall()}
    tables = [model._meta.table_name for model in APPEND_ONLY]
    wanted = [name for table in tables for name in guard_names(db, table)]
    return [f"trigger {name} is gone" for name in wanted if name not in standing]


def references_lead_somewhere(db: Any) -> list[str]:
    """No row points at a row that is not there."""
    if not hasattr(db, "pragma"):
        rows = db.execute_sql("SELECT conname FROM pg_constraint WHERE NOT convalidated")
        return [f"foreign key {name} was never checked" for (name,) in rows.fetchall()]
    rows = db.execute_sql("PRAGMA foreign_key_check").fetchmany(MOST_FINDINGS)
    return [f"table {table}: row {row} points at no {target}" for table, row, target, _ in rows]


def tables_are_the_models(db: Any) -> list[str]:
    """The store's tables are those that this program was written for."""
    return drift(db)
