"""The migration that takes the marks of amounts out of kept words."""

from __future__ import annotations

import json
from importlib import import_module
from typing import Any

import pytest
from cureyard_migrations.dialect import guard, guard_names
from peewee import SqliteDatabase

MARKED = "held at \ue0001 °C\ue00134 °F\ue002, \ue0002 mm\ue0010.1 in\ue002 thick"


@pytest.mark.parametrize(
    ("units", "plain"),
    [("metric", "held at 1 °C, 2 mm thick"), ("us", "held at 34 °F, 0.1 in thick")],
)
def test_one_of_each_two_amounts_is_kept(units: str, plain: str) -> None:
    """The yard's own, in a text and in JSON; an append-only table is guarded again."""
    migration: Any = import_module("cureyard_migrations.0018_plain_words")
    db = SqliteDatabase(":memory:")
    db.execute_sql("CREATE TABLE yard (units TEXT)")
    db.execute_sql("INSERT INTO yard VALUES (?)", (units,))
    for table in dict(migration.COLUMNS):
        columns = ", ".join(f"{name} TEXT" for name in dict.fromkeys(dict(_turned(migration))))
        db.execute_sql(f"CREATE TABLE {table} (id INTEGER PRIMARY KEY, {columns})")
    guard(db, "logbook")
    db.execute_sql("INSERT INTO logbook (about) VALUES (?)", (MARKED,))
    db.execute_sql("INSERT INTO batch (answer) VALUES (?)", (json.dumps({"warnings": [MARKED]}),))
    migration.up(None, db)
    assert db.execute_sql("SELECT about FROM logbook").fetchone() == (plain,)
    (kept,) = db.execute_sql("SELECT answer FROM batch").fetchone()
    assert json.loads(kept) == {"warnings": [plain]}
    standing = db.execute_sql("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall()
    assert {name for (name,) in standing} == set(guard_names(db, "logbook"))


def _turned(migration: Any) -> list[tuple[str, str]]:
    return [(column, table) for table, column in migration.COLUMNS]
