"""Triggers, indexes, views and rules of a store, held to those that its migrations made.

Their texts are recorded for each engine (`python -m tests.store.upkeep.record_schema`): with a
trigger whose text differs a guard may be there and guard nothing.
"""

from __future__ import annotations

from functools import lru_cache
from importlib.resources import files
from typing import Any

from cureyard_migrations.dialect import on_sqlite

UNASKED = ("trigger", "view", "rule")
"""What may change rows or what is seen of them, so that one more is told; an index may not."""

_ON_SQLITE = "SELECT type, name, sql FROM sqlite_master WHERE type <> 'table' AND sql IS NOT NULL"

_OF_AN_EXTENSION = "EXISTS (SELECT 1 FROM pg_depend d WHERE d.objid = {}.oid AND d.deptype = 'e')"
_ON_POSTGRESQL = f"""
    SELECT 'trigger', t.tgname, pg_get_triggerdef(t.oid, true) || CASE t.tgenabled
            WHEN 'O' THEN '' ELSE ' enabled as ' || t.tgenabled::text END
        FROM pg_trigger t JOIN pg_class c ON c.oid = t.tgrelid
        WHERE c.relnamespace = current_schema()::regnamespace AND NOT t.tgisinternal
    UNION ALL SELECT 'trigger', 'of references on ' || c.relname, 'off'
        FROM pg_trigger t JOIN pg_class c ON c.oid = t.tgrelid
        WHERE c.relnamespace = current_schema()::regnamespace
            AND t.tgisinternal AND t.tgenabled <> 'O'
    UNION ALL SELECT 'index', c.relname, pg_get_indexdef(c.oid, 0, true)
        FROM pg_class c JOIN pg_index i ON i.indexrelid = c.oid
        WHERE c.relnamespace = current_schema()::regnamespace
    UNION ALL SELECT 'view', c.relname, pg_get_viewdef(c.oid)
        FROM pg_class c WHERE c.relkind IN ('v', 'm') AND NOT {_OF_AN_EXTENSION.format("c")}
            AND c.relnamespace = current_schema()::regnamespace
    UNION ALL SELECT 'rule', r.rulename, pg_get_ruledef(r.oid)
        FROM pg_rewrite r JOIN pg_class c ON c.oid = r.ev_class
        WHERE c.relkind NOT IN ('v', 'm') AND c.relnamespace = current_schema()::regnamespace
    UNION ALL SELECT 'function', p.proname, p.prosrc
        FROM pg_proc p WHERE p.pronamespace = current_schema()::regnamespace
            AND NOT {_OF_AN_EXTENSION.format("p")}
"""


def texts(db: Any) -> dict[str, str]:
    """Each thing's text by its kind and name, such as 'trigger movement_no_update'."""
    sql = _ON_SQLITE if on_sqlite(db) else _ON_POSTGRESQL
    found = db.execute_sql(sql).fetchall()
    return {f"{kind} {name}": " ".join(text.split()) for kind, name, text in found}


def recorded(db: Any) -> dict[str, str]:
    """The same of a store as the migrations leave it."""
    return _read(file_name(db))


def file_name(db: Any) -> str:
    """The file of an engine's record, beside this module."""
    return f"schema_{'sqlite' if on_sqlite(db) else 'postgresql'}.txt"


@lru_cache
def _read(name: str) -> dict[str, str]:
    lines = (files(__package__) / name).read_text(encoding="utf-8").splitlines()
    return dict(line.split(": ", 1) for line in lines)


def differences(db: Any) -> list[str]:
    """What is gone, changed, or none of the program's, a sentence each."""
    wanted, there = recorded(db), texts(db)
    gone = [f"{name} is gone" for name in wanted if name not in there]
    other = [
        f"{name} is not as the program made it"
        for name, text in wanted.items()
        if there.get(name, text) != text
    ]
    more = [
        f"{name} is none of the program's"
        for name in sorted(set(there) - set(wanted))
        if name.split(" ")[0] in UNASKED
    ]
    return gone + other + more
