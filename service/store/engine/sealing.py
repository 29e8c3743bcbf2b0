"""Seals: each transaction leaves a row that names what it wrote, with hashes of the rows.

Which rows those are is noted where every statement passes, so no act can forget it. At the end of
the transaction they are read once more, and what the store then says of them is hashed: see
`cureyard_migrations.seals`. A seal ties the transaction's row into a chain. On SQLite that is done
in the same transaction. On PostgreSQL a head that is locked until the commit would make one queue
of all writers; there it is done right after it, by whoever gets a lock that nobody waits for.
"""

from __future__ import annotations

import json
import re
import threading
from collections import defaultdict
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from functools import lru_cache
from typing import Any, NamedTuple

from cureyard_migrations.seals import Rows, digest, head_after, parts, parts_of_changing
from peewee import BlobField, Field, Model, PeeweeException

from .versions import code_version

Notes = dict[str, dict[int, str | None]]
"""The rows that a transaction wrote, by their table and id: the hash that each had before."""

_CHANGE = re.compile(r'\s*(?:INSERT(?: OR \w+)? INTO|UPDATE)\s+"?(\w+)', re.IGNORECASE)
_UPDATE = re.compile(
    r"\s*UPDATE\s+(?:\S+)\s+SET\s(?P<values>.*?)(?P<where>\sWHERE\s.*?)?(?:\sRETURNING\s.*)?$",
    re.IGNORECASE | re.DOTALL,
)
_RETURNS = re.compile(r'\sRETURNING\s+(?:"?\w+"?\.)?"?id"?\s*$', re.IGNORECASE)

_thread = threading.local()


class Sealed(NamedTuple):
    """A table whose rows are sealed: whether a row changes later, and its columns after the id."""

    changing: bool
    columns: str


TABLES: dict[str, Sealed] = {}
"""By name; `tables` fills it."""


def seal_rows_of(model: type[Model], *, changing: bool) -> None:
    """Have a table's rows sealed.

    Bytes are left out: beside them stands their hash.

    Args:
        changing: whether a row may be changed later; then it is named again each time.
    """
    fields: Sequence[Field] = model._meta.sorted_fields
    names = sorted(f.column_name for f in fields if not isinstance(f, BlobField))
    columns = ", ".join(f'"{name}"' for name in names if name != "id")
    TABLES[model._meta.table_name] = Sealed(changing, columns)


class Written:
    """What a statement wrote, as the driver's cursor gives it; its rows were read already."""

    def __init__(self, cursor: Any) -> None:
        self._rows = list(cursor.fetchall())
        self.rowcount = len(self._rows)
        self.lastrowid = self._rows[-1][0] if self._rows else None
        self.description = cursor.description
        self.ids = [row[0] for row in self._rows]

    def fetchall(self) -> list[tuple[Any, ...]]:
        """All rows that were not fetched yet."""
        rows, self._rows = self._rows, []
        return rows

    def fetchone(self) -> tuple[Any, ...] | None:
        """The next row."""
        return self._rows.pop(0) if self._rows else None

    def close(self) -> None:
        """Nothing is held."""


class SealingDatabase:
    """What both kinds of database add to the library's: rows that are written are noted."""

    def execute_sql(self, sql: str, params: Any = None) -> Any:
        """Run a statement, and note the rows that it writes."""
        library: Any = super()
        table = _changed(sql)
        if table is None or getattr(_thread, "away", False):
            return library.execute_sql(sql, params)
        if not _RETURNS.search(sql):
            sql = f"{sql} RETURNING id"
        notes: Notes | None = getattr(_thread, "notes", None)
        if notes is not None:
            before = _before(library, sql, params, table)
            written = Written(library.execute_sql(sql, params))
            for row in written.ids:
                notes[table].setdefault(row, before.get(row))
            return written
        here: Any = self
        if not here.table_exists("written"):
            return library.execute_sql(sql, params)
        with here.atomic(), sealed(here):  # a statement by itself is a transaction
            return here.execute_sql(sql, params)


def _changed(sql: str) -> str | None:
    """The sealed table of which a statement writes rows, or None."""
    if sql.lstrip()[:6].upper() not in ("INSERT", "UPDATE"):
        return None
    found = _CHANGE.match(sql)
    return found[1] if found and found[1] in TABLES else None


def _before(library: Any, sql: str, params: Any, table: str) -> dict[int, str]:
    """The hashes of the rows that a statement is about to change."""
    if not TABLES[table].changing or sql.lstrip()[:6].upper() != "UPDATE":
        return {}
    select, values = _picked(sql, table)
    rows = library.execute_sql(select, tuple(params or ())[values:]).fetchall()
    return {row[0]: digest([row]) for row in rows}


@lru_cache
def _picked(sql: str, table: str) -> tuple[str, int]:
    """What selects the rows that an UPDATE picks; how many of its values come before those."""
    found = _UPDATE.match(sql)
    if found is None:
        raise ValueError(f"this UPDATE can't be read: {sql}")
    values = found["values"].count("?") + found["values"].count("%s")
    return f"{_select(table)}{found['where'] or ''}", values


@contextmanager
def sealed(db: Any) -> Iterator[None]:
    """Note what is written in a transaction, and seal it at the end."""
    _thread.notes = defaultdict(dict)
    try:
        yield
        notes, _thread.notes = _thread.notes, None
        _seal(db, notes)
    finally:
        _thread.notes = None


@contextmanager
def away() -> Iterator[None]:
    """Note nothing: a migration changes tables, and seals by itself what it changes."""
    _thread.away = True
    try:
        yield
    finally:
        _thread.away = False


@contextmanager
def undone() -> Iterator[None]:
    """Forget what is noted meanwhile, for writes that are undone."""
    before = {table: dict(rows) for table, rows in _thread.notes.items()}
    try:
        yield
    finally:
        _thread.notes = defaultdict(dict, before)


def tie(db: Any) -> None:
    """Tie what this thread committed to the chain, if nobody else is at it; on SQLite it is tied.

    A fault is let pass: the act is done, and whoever comes next ties it.
    """
    if getattr(_thread, "untied", False):
        _thread.untied = False
        with suppress(PeeweeException):
            db.execute_sql("SELECT tie_seals(false)")


def tie_all(db: Any) -> None:
    """Tie all that was committed, and what this transaction wrote so far.

    In a transaction that only reads nothing is done: it sees the store as it was before.
    """
    notes: Notes | None = getattr(_thread, "notes", None)
    if notes:
        _seal(db, notes)
        notes.clear()
    if not hasattr(db, "pragma") and (notes is not None or not db.in_transaction()):
        db.execute_sql("SELECT tie_seals(true)")


def _seal(db: Any, notes: Notes) -> None:
    text = " ".join(part for table in sorted(notes) for part in _parts(db, table, notes[table]))
    if not text:
        return
    version, place = code_version(), db.param
    (row,) = db.execute_sql(_WRITE[place], (version, 0, text)).fetchone()
    if not hasattr(db, "pragma"):
        _thread.untied = True
        return
    (before,) = db.execute_sql(_HEAD).fetchone() or ("",)
    db.execute_sql(_TIE, (row, head_after(before, version, 0, text)))


_WRITE = {
    place: f"INSERT INTO written (version, found, parts) VALUES ({place}, {place}, {place}) "
    "RETURNING id"
    for place in ("?", "%s")
}
_HEAD = "SELECT head FROM seal WHERE id = (SELECT MAX(id) FROM seal)"
_TIE = "INSERT INTO seal (written_id, head) VALUES (?, ?)"


def _parts(db: Any, table: str, written: dict[int, str | None]) -> Iterator[str]:
    rows = _read(db, table, sorted(written))
    if TABLES[table].changing:
        before = {row: hashed for row, hashed in written.items() if hashed is not None}
        yield from parts_of_changing(table, rows, before)
    else:
        yield from parts(table, rows)


def _read(db: Any, table: str, ids: Sequence[int]) -> Rows:
    """Rows by their ids, as far as they are there."""
    if len(ids) == 1:
        found = db.execute_sql(f"{_select(table)} WHERE id = {db.param}", ids)
    elif hasattr(db, "pragma"):
        some = "WHERE id IN (SELECT value FROM json_each(?)) ORDER BY id"
        found = db.execute_sql(f"{_select(table)} {some}", (json.dumps(ids),))
    else:
        found = db.execute_sql(f"{_select(table)} WHERE id = ANY(%s) ORDER BY id", (ids,))
    rows: Rows = found.fetchall()
    return rows


@lru_cache
def _select(table: str) -> str:
    return f'SELECT id, {TABLES[table].columns} FROM "{table}"'
