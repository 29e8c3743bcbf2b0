"""A store's database past the store: with no checks of ours, or as another program's."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from typing import Any

import psycopg
from cureyard_migrations.dialect import on_sqlite
from peewee import Database

_UNCHECKED = """
    SET session_replication_role = replica;
    DO $$ DECLARE c record; BEGIN
        FOR c IN SELECT conrelid::regclass AS t, conname FROM pg_constraint
            WHERE contype = 'c' AND connamespace = 'public'::regnamespace
        LOOP EXECUTE format('ALTER TABLE %s DROP CONSTRAINT %I', c.t, c.conname); END LOOP;
    END $$
"""


@contextmanager
def raw(store: Database) -> Iterator[Any]:
    """A bare connection with no checks of ours and none of the engine's.

    SQLite's leaves the guards: its statements have no other way past them than to drop them.
    """
    with _connected(store) as connection:
        if on_sqlite(store):
            connection.execute("PRAGMA ignore_check_constraints = ON")
        else:
            connection.execute(_UNCHECKED)
        yield connection


def drop_guard(bare: Any, store: Database, table: str, name: str) -> None:
    """Take a trigger away."""
    bare.execute(f"DROP TRIGGER {name}" + ("" if on_sqlite(store) else f" ON {table}"))


@contextmanager
def holding(store: Database) -> Iterator[None]:
    """Another program that has begun to write and does not end; a write waits a short while."""
    patience, store.timeout = store.timeout, 0.1
    with _connected(store) as other:
        if on_sqlite(store):
            other.execute("BEGIN IMMEDIATE")
        else:
            other.execute("BEGIN; SELECT pg_advisory_xact_lock(4785327002)")
        yield
        other.execute("ROLLBACK")
    store.timeout = patience


@contextmanager
def looking(store: Database, table: str) -> Iterator[Callable[[], int]]:
    """Another program in the midst of a long read; it counts the rows that it sees."""
    with _connected(store) as other:
        other.execute("BEGIN" if on_sqlite(store) else "BEGIN ISOLATION LEVEL REPEATABLE READ")

        def count() -> int:
            return int(other.execute(f"SELECT COUNT(*) FROM {table}").fetchone()[0])

        count()
        yield count
        other.execute("ROLLBACK")


@contextmanager
def _connected(store: Database) -> Iterator[Any]:
    if on_sqlite(store):
        connection: Any = sqlite3.connect(store.database, isolation_level=None)
    else:
        connection = psycopg.connect(store.database, autocommit=True)
    with closing(connection):
        yield connection
