"""Seals: each transaction leaves a row that names what it wrote, with hashes of the rows.

Which rows those are is noted where every statement passes, so no act can forget it: the statement
itself answers with the rows as they are in the store. At the end of the transaction they are
hashed: see `cureyard_migrations.seals`. A seal ties the transaction's row into a chain. On SQLite
that is done in the same transaction. On PostgreSQL a head that is locked until the commit would
make one queue of all writers; there it is done right after it, by whoever gets a lock that nobody
waits for.
"""

from __future__ import annotations

import re
import threading
from collections import defaultdict
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from functools import lru_cache
from typing import Any, NamedTuple

from cureyard_migrations.dialect import on_sqlite
from cureyard_migrations.seals import Rows, digest, head_after, parts, parts_of_changing
from peewee import Field, Model, PeeweeException

from .columns import Bytes
from .versions import code_version


class Note(NamedTuple):
    """A row that a transaction wrote: the hash that it had before, if any, and what it is now."""

    before: str | None
    row: tuple[Any, ...]


Notes = dict[str, dict[int, Note]]
"""The rows that a transaction wrote, by their table and id."""

_CHANGE = re.compile(r'\s*(?:INSERT(?: OR \w+)? INTO|UPDATE)\s+"?(\w+)', re.IGNORECASE)
_UPDATE = re.compile(
    r"\s*UPDATE\s+(?:\S+)\s+SET\s(?P<values>.*?)(?P<where>\sWHERE\s.*?)?(?:\sRETURNING\s.*)?$",
    re.IGNORECASE | re.DOTALL,
)
_BY_ID = re.compile(r'\s*WHERE\s+\(?(?:"?\w+"?\.)?"?id"?\s*=\s*(?:\?|%s)', re.IGNORECASE)
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
    names = sorted(f.column_name for f in fields if not isinstance(f, Bytes))
    columns = ", ".join(f'"{name}"' for name in names if name != "id")
    TABLES[model._meta.table_name] = Sealed(changing, columns)


class Answered:
    """What a statement that wrote rows answers, as the driver's cursor gives it: their ids."""

    def __init__(self, rows: Rows, description: Any) -> None:
        self._ids = [(row[0],) for row in rows]
        self.rowcount = len(rows)
        self.lastrowid = rows[-1][0] if rows else None
        self.description = description

    def fetchall(self) -> list[tuple[int]]:
        """All that were not fetched yet."""
        ids, self._ids = self._ids, []
        return ids

    def fetchone(self) -> tuple[int] | None:
        """The next one."""
        return self._ids.pop(0) if self._ids else None

    def close(self) -> None:
        """Nothing is held."""


class SealingDatabase:
    """What both kinds of database add to the library's: rows that are written are noted."""

    def execute_sql(self, sql: str, params: Any = None) -> Any:
        """Run a statement, and note the rows that it writes."""
        library: Any = super()
        table = _changed(sql)
        notes: Notes | None = getattr(_thread, "notes", None)
        if table is None or getattr(_thread, "away", False):
            answer = library.execute_sql(sql, params)
            if notes is not None and "SAVEPOINT" in sql[:21]:
                _follow(sql, notes)
            return answer
        if notes is not None:
            before = _before(library, sql, params, table, notes[table])
            cursor = library.execute_sql(_returning(sql, table), params)
            rows: Rows = cursor.fetchall()
            noted = notes[table]
            for row in rows:
                was = noted.get(row[0])
                noted[row[0]] = Note(was.before if was else before.get(row[0]), row)
            return Answered(rows, cursor.description and cursor.description[:1])
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


def _returning(sql: str, table: str) -> str:
    """The statement, such that it answers with whole rows."""
    asked = _RETURNS.search(sql, max(0, len(sql) - 60))
    return f"{sql[: asked.start()] if asked else sql} RETURNING id, {TABLES[table].columns}"


def _before(
    library: Any, sql: str, params: Any, table: str, noted: dict[int, Note]
) -> dict[int, str]:
    """The hashes of the rows that a statement is about to change, of those not noted yet."""
    if not TABLES[table].changing or sql.lstrip()[:6].upper() != "UPDATE":
        return {}
    select, first, by_id = _picked(sql, table)
    values = tuple(params or ())[first:]
    if by_id and values and values[0] in noted:
        return {}
    if not on_sqlite(library):
        select += " FOR NO KEY UPDATE"  # as another leaves it, who may be changing it now
    rows = library.execute_sql(select, values).fetchall()
    return {row[0]: digest([row]) for row in rows}


@lru_cache
def _picked(sql: str, table: str) -> tuple[str, int, bool]:
    """What selects the rows that an UPDATE picks; where its values begin; whether with an id."""
    found = _UPDATE.match(sql)
    if found is None:
        raise ValueError(f"this UPDATE can't be read: {sql}")
    first = found["values"].count("?") + found["values"].count("%s")
    where = found["where"] or ""
    select = f'SELECT id, {TABLES[table].columns} FROM "{table}"{where}'
    return select, first, _BY_ID.match(where) is not None


def _follow(sql: str, notes: Notes) -> None:
    """Go along with a savepoint: what is undone was not written."""
    begun, undone = "SAVEPOINT ", "ROLLBACK TO SAVEPOINT "
    if sql.startswith(begun):
        _thread.marks[sql.removeprefix(begun)] = _copy(notes)
    elif sql.startswith(undone):
        notes.clear()
        notes.update(_copy(_thread.marks[sql.removeprefix(undone)]))


def _copy(notes: Notes) -> Notes:
    return {table: dict(rows) for table, rows in notes.items()}


@contextmanager
def sealed(db: Any) -> Iterator[None]:
    """Note what is written in a transaction, and seal it at the end."""
    _thread.notes, _thread.marks = defaultdict(dict), {}
    try:
        yield
        notes, _thread.notes = _thread.notes, None
        _seal(db, notes)
    finally:
        _thread.notes, _thread.marks = None, {}  # a savepoint's copy of them may be long


@contextmanager
def away() -> Iterator[None]:
    """Note nothing: a migration seals by itself what it changes, and a trial is undone."""
    _thread.away = True
    try:
        yield
    finally:
        _thread.away = False


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
    if not on_sqlite(db) and (notes is not None or not db.in_transaction()):
        db.execute_sql("SELECT tie_seals(true)")


def _seal(db: Any, notes: Notes) -> None:
    text = " ".join(part for table in sorted(notes) for part in _parts(table, notes[table]))
    if not text:
        return
    version, place = code_version(), db.param
    (row,) = db.execute_sql(_WRITE[place], (version, 0, text)).fetchone()
    if not on_sqlite(db):
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


def _parts(table: str, notes: dict[int, Note]) -> Iterator[str]:
    written = [notes[row] for row in sorted(notes)]
    rows = [note.row for note in written]
    if TABLES[table].changing:
        before = {note.row[0]: note.before for note in written if note.before is not None}
        yield from parts_of_changing(table, rows, before)
    else:
        yield from parts(table, rows)
