"""A store taken over to another address: every row with its id, and both sides held equal."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from itertools import islice
from typing import Any

from cureyard_migrations.dialect import on_sqlite
from peewee import sort_models  # type: ignore[attr-defined]  # the stubs leave it out

from ..engine.columns import Bytes
from ..engine.database import opened, writing
from ..engine.faults import NoBackup, RowsAstray, translated
from ..engine.locks import PATIENCE_S, alone
from ..engine.sealing import tie_all
from ..tables import MODELS, SIGNED_LAST
from .account import Account, account
from .migrate import migrate_forward
from .soundness import references_lead_somewhere

ROWS = 1000
"""Rows that are read and written at a time."""

ROWS_WITH_BYTES = 16
"""The same of rows that carry a photograph, of which each may have 2 MB."""


def move(db: Any, url: str, patience_s: float = PATIENCE_S) -> Account:
    """Take the store in use over to an address where there is none.

    Nobody may serve or write it meanwhile. It stays as it is.

    Args:
        patience_s: how long to wait for another process to finish with either.

    Returns:
        What the new store amounts to.

    Raises: StoreUnusable, Busy, StoreFull; then there is no row at the new address.
    """
    with alone(db, patience_s), writing():
        tie_all(db)
        _see_that_it_can_be_taken(db)
        digests = {table: digest(db, table) for table in _tables()}
        with opened(url) as other:
            if other.database == db.database:
                raise NoBackup("The store is at that address now.", advice="Name another.")
            migrate_forward(other, patience_s=patience_s)
            with translated(), alone(other, patience_s), other.transaction():
                _fill(db, other)
                _compare(digests, other)
            found = account(other)
    return found


def _see_that_it_can_be_taken(db: Any) -> None:
    """The other database refuses rows that point at nothing, whichever comes first."""
    astray = references_lead_somewhere(db)
    if astray:
        raise RowsAstray(
            f"The store can't be taken over: {astray[0]}.",
            advice="Check its books to see all that is wrong.",
        )


def digest(db: Any, table: str) -> str:
    """A hash of a table's rows in the order of their ids: equal on either database."""
    hashed = hashlib.sha256()
    told = _without_bytes if _carries_bytes(table) else repr
    for row in _rows(db, table):
        hashed.update(told(row).encode())
    return hashed.hexdigest()


def _without_bytes(row: tuple[Any, ...]) -> str:
    """A row as text, with a hash in the place of bytes: to write those out takes far longer."""
    each = (hashlib.sha256(v).hexdigest() if isinstance(v, bytes) else v for v in row)
    return repr(tuple(each))


def _tables() -> list[str]:
    """Every table, after those that it points at; what shuts a job for other rows at the end."""
    first = [model for model in sort_models(MODELS) if model not in SIGNED_LAST]
    return [model._meta.table_name for model in (*first, *SIGNED_LAST)]


def _fields(table: str) -> list[Any]:
    (model,) = (model for model in MODELS if model._meta.table_name == table)
    return list(model._meta.sorted_fields)


def _columns(table: str) -> list[str]:
    return [field.column_name for field in _fields(table)]


def _carries_bytes(table: str) -> bool:
    return any(isinstance(field, Bytes) for field in _fields(table))


def _at_once(table: str) -> int:
    """How many rows of a table are held in memory."""
    return ROWS_WITH_BYTES if _carries_bytes(table) else ROWS


def _rows(db: Any, table: str) -> Iterator[tuple[Any, ...]]:
    columns, after = ", ".join(f'"{column}"' for column in _columns(table)), 0
    at_once = _at_once(table)
    while True:
        rows = db.execute_sql(
            f'SELECT id, {columns} FROM "{table}" WHERE id > {after} ORDER BY id LIMIT {at_once}'
        ).fetchall()
        yield from (tuple(row[1:]) for row in rows)
        if len(rows) < at_once:
            return
        after = rows[-1][0]


def _fill(db: Any, other: Any) -> None:
    for table in _tables():
        if other.execute_sql(f'SELECT 1 FROM "{table}" LIMIT 1').fetchone():
            raise NoBackup(
                "There is a store at that address already.",
                advice="Name a new file, or an empty database.",
            )
        columns = _columns(table)
        named = ", ".join(f'"{column}"' for column in columns)
        places = ", ".join([other.param] * len(columns))
        insert = f'INSERT INTO "{table}" ({named}) VALUES ({places})'
        rows = _rows(db, table)
        while some := list(islice(rows, _at_once(table))):
            other.cursor().executemany(insert, some)
        if not on_sqlite(other) and table != "yard":
            _go_on_counting(other, table)


def _go_on_counting(db: Any, table: str) -> None:
    """The next id is after the greatest: PostgreSQL does not count what was given."""
    db.execute_sql(
        f"SELECT setval(pg_get_serial_sequence('{table}', 'id'), MAX(id)) FROM {table}"
        " HAVING MAX(id) IS NOT NULL"
    )


def _compare(digests: dict[str, str], other: Any) -> None:
    unlike = [table for table, kept in digests.items() if digest(other, table) != kept]
    if unlike:
        raise NoBackup(
            f"The copied rows differ, in: {', '.join(unlike)}.", advice="Nothing was kept there."
        )
