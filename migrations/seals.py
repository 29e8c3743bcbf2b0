"""How rows are sealed: what a hash is taken of, how rows are named, how seals follow each other.

Frozen, as everything that migrations build on: a store keeps what was worked out by it.

    lot:5=<hash before>><hash> movement:12-14,17=<hash>     the parts of what a transaction wrote
    head = hash(head before, version, found, parts)

A row that changes later is a part by itself, others are as many as `PART` in one. Where it was
there before, the hash that it had then is in front: so a change by hand is not covered up by the
next one. A hash is SHA-256, in hexadecimal.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from hashlib import sha256
from typing import Any

from cureyard_migrations.dialect import on_sqlite

AT_ONCE = 10_000
"""Rows that are held in memory."""

PART = 500
"""Rows of one part at most: so many are in doubt where one of them was changed."""

Rows = Sequence[tuple[Any, ...]]
"""Of one table, by their ids; each its id, then its columns in the order of their names."""


def encoded(rows: Rows) -> bytes:
    """Rows of whole numbers, texts and nulls, such that no other rows are encoded alike.

    Python's own `ascii` is the quickest of what is unambiguous, and other than `repr` it does not
    depend on the Unicode version.
    """
    return ascii(list(rows))[1:-1].encode("ascii")


def digest(rows: Rows) -> str:
    """The hash of rows."""
    return sha256(encoded(rows)).hexdigest()


def parts(table: str, rows: Rows) -> Iterator[str]:
    """The parts of a transaction that added rows to an append-only table."""
    for start in range(0, len(rows), PART):
        some = rows[start : start + PART]
        yield f"{table}:{named(row[0] for row in some)}={digest(some)}"


def parts_of_changing(table: str, rows: Rows, before: Mapping[int, str]) -> Iterator[str]:
    """The parts of a transaction that wrote rows of a table whose rows change.

    Args:
        before: the hash of each row, by its id, as far as it was there before.
    """
    for row in rows:
        was = f"{before[row[0]]}>" if row[0] in before else ""
        yield f"{table}:{row[0]}={was}{digest([row])}"


def named(ids: Iterable[int]) -> str:
    """Ids in their order, runs from-to: `12-14,17`."""
    runs: list[list[int]] = []
    for each in ids:
        if runs and each == runs[-1][1] + 1:
            runs[-1][1] = each
        else:
            runs.append([each, each])
    return ",".join(str(a) if a == b else f"{a}-{b}" for a, b in runs)


def head_after(before: str, version: int, found: int, text: str) -> str:
    """The head of the chain after a transaction's row is tied to it.

    Args:
        before: the head before it; empty at the first. text: the parts.

    PostgreSQL's `tie_seals` does the same.
    """
    return sha256(f"{before} {version} {found} {text}".encode()).hexdigest()


def seal_as_found(db: Any, version: int, kept: Sequence[str], changing: Sequence[str]) -> None:
    """Seal all that tables hold, as it is found: nobody knows what it was before.

    A migration that changes rows or columns of a sealed table calls this with it: its seals from
    before count no longer.

    Args:
        version: of the migration. kept: append-only tables. changing: tables of rows that change.
    """
    text = " ".join(
        part
        for table in (*kept, *changing)
        for rows in _pages(db, table)
        for part in (
            parts_of_changing(table, rows, {}) if table in changing else parts(table, rows)
        )
    )
    if not text:
        return
    if not on_sqlite(db):
        db.execute_sql("SELECT tie_seals(true)")
    (row,) = _run(
        db, "INSERT INTO written (version, found, parts) VALUES (?, 1, ?) RETURNING id",
        version, text,
    ).fetchone()  # fmt: skip
    (before,) = _run(db, "SELECT head FROM seal ORDER BY id DESC LIMIT 1").fetchone() or ("",)
    head = head_after(before, version, 1, text)
    _run(db, "INSERT INTO seal (written_id, head) VALUES (?, ?)", row, head)


def _run(db: Any, sql: str, *values: Any) -> Any:
    return db.execute_sql(sql if on_sqlite(db) else sql.replace("?", "%s"), values)


def _pages(db: Any, table: str) -> Iterator[Rows]:
    names = sorted(c.name for c in db.get_columns(table) if c.data_type.upper() not in _BYTES)
    columns = ", ".join(f'"{name}"' for name in names if name != "id")
    after = 0
    while True:
        rows = db.execute_sql(
            f'SELECT id, {columns} FROM "{table}" WHERE id > {after} ORDER BY id LIMIT {AT_ONCE}'  # noqa: S608
        ).fetchall()
        if not rows:
            return
        yield rows
        after = rows[-1][0]


_BYTES = ("BLOB", "BYTEA")
"""Types of columns that are not in the hash: beside one stands the hash of what is in it."""
