"""Words that were kept with each amount in both systems of units keep the yard's own.

Until now a sentence had an amount twice, between marks of Unicode's private use. In JSON the marks
may stand as their escapes.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from cureyard_migrations.dialect import on_sqlite

COLUMNS = (
    ("logbook", "about"),
    ("override", "reason"),
    ("lot", "hold_reason"),
    ("lot_event", "reason"),
    ("layup", "closed_reason"),
    ("layup_earlier", "closed_reason"),
    ("batch", "answer"),
    ("plan", "answer"),
    ("answer", "body"),
)
_OPENS, _OR, _CLOSES = (rf"(?:{mark}|\\u{ord(mark):04x})" for mark in "\ue000\ue001\ue002")
_BOTH = re.compile(f"{_OPENS}(.*?){_OR}(.*?){_CLOSES}", re.DOTALL)


def up(migrator: Any, db: Any) -> None:
    """Take one of each two amounts."""
    (units,) = db.execute_sql("SELECT units FROM yard").fetchone() or ("metric",)
    kept = r"\2" if units == "us" else r"\1"
    for table, column in COLUMNS:
        rows = db.execute_sql(f"SELECT id, {column} FROM {table}").fetchall()  # noqa: S608
        plain = [(_BOTH.sub(kept, text), id_) for id_, text in rows if text and _BOTH.search(text)]
        if plain:
            with _unguarded(db, table):
                _write(db, table, column, plain)


def down(migrator: Any, db: Any) -> None:
    """Plain words are read by older versions as they are."""


def _write(db: Any, table: str, column: str, plain: list[tuple[str, int]]) -> None:
    mark = "?" if on_sqlite(db) else "%s"
    change = f"UPDATE {table} SET {column} = {mark} WHERE id = {mark}"  # noqa: S608
    for row in plain:
        db.execute_sql(change, row)


@contextmanager
def _unguarded(db: Any, table: str) -> Iterator[None]:
    """An append-only table without its guards, in one transaction."""
    if not on_sqlite(db):
        db.execute_sql(f"ALTER TABLE {table} DISABLE TRIGGER USER")
        yield
        db.execute_sql(f"ALTER TABLE {table} ENABLE TRIGGER USER")
        return
    guards = db.execute_sql(
        "SELECT name, sql FROM sqlite_master WHERE type = 'trigger' AND tbl_name = ?", (table,)
    ).fetchall()
    for name, _ in guards:
        db.execute_sql(f"DROP TRIGGER {name}")
    yield
    for _, sql in guards:
        db.execute_sql(sql)
