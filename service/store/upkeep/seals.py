"""Whether every row is as its transaction sealed it, and whether the seals make one chain.

All that was sealed is read once, in pages: the chain in its order, and beside it the rows that a
page of it names. A row that changes counts as the last part that names it says.
"""

from __future__ import annotations

import json
from bisect import bisect_right
from collections import defaultdict
from collections.abc import Iterator
from hashlib import sha256
from typing import Any

from cureyard_migrations.dialect import on_sqlite
from cureyard_migrations.seals import AT_ONCE, PART, Rows, digest, head_after

from ..engine.sealing import TABLES

MOST_FINDINGS = 100
"""Rows of one table that are named; there is no use in a longer list."""

Run = tuple[int, int]
"""Ids from one to another, both of them in it."""


def every_row_is_as_it_was_sealed(db: Any) -> list[str]:
    """Each row has the hash that was taken of it, once, and each seal follows the one before."""
    said: dict[str, Any] = {
        table: _Changing(table) if sealed.changing else _Kept(table)
        for table, sealed in TABLES.items()
    }
    chain = _Chain(tied_at_once=on_sqlite(db))
    for lines in _pages(db):
        for table, parts in chain.read(lines, said).items():
            if table in said:
                said[table].read(db, parts)
            else:
                chain.findings.append(f"table {table} is sealed, and is none of the program's")
    return [
        *chain.findings[:MOST_FINDINGS],
        *(each for table in said.values() for each in table.finish(db)[:MOST_FINDINGS]),
    ]


def _pages(db: Any) -> Iterator[list[tuple[Any, ...]]]:
    sql = f"""
        SELECT s.id, s.head, w.id, w.version, w.found, w.parts
        FROM seal s LEFT JOIN written w ON w.id = s.written_id
        WHERE s.id > {db.param} ORDER BY s.id LIMIT {AT_ONCE}
    """
    after = 0
    while lines := db.execute_sql(sql, (after,)).fetchall():
        yield lines
        after = lines[-1][0]
    if lines := db.execute_sql(_UNTIED).fetchall():
        yield lines


_UNTIED = """
    SELECT NULL, NULL, w.id, w.version, w.found, w.parts
    FROM written w LEFT JOIN seal s ON s.written_id = w.id WHERE s.id IS NULL ORDER BY w.id
"""


class _Chain:
    """The seals in their order.

    Args:
        tied_at_once: whether a transaction is tied within itself. On PostgreSQL others may have
            committed since all were tied, and what they wrote is looked at all the same.
    """

    def __init__(self, *, tied_at_once: bool) -> None:
        self.tied_at_once = tied_at_once
        self.head = ""
        self.findings: list[str] = []

    def read(self, lines: list[tuple[Any, ...]], said: dict[str, Any]) -> dict[str, list[str]]:
        """Follow a page of the chain; by table, its parts as `ids=hash`."""
        parts: dict[str, list[str]] = defaultdict(list)
        for seal, head, row, version, found, text in lines:
            if seal is None:
                if self.tied_at_once:
                    self.findings.append(f"what transaction {row} wrote is not in the chain")
            elif row is None:
                self.findings.append(f"seal {seal} is of a transaction that is gone")
            elif head_after(self.head, version, found, text) != head:
                self.findings.append(f"seal {seal} does not follow from the one before it")
            self.head = head
            if found:
                _begin_anew(text, parts, said)
            for part in (text or "").split(" "):
                table, _, rest = part.partition(":")
                parts[table].append(rest)
        return parts


def _begin_anew(text: str, parts: dict[str, list[str]], said: dict[str, Any]) -> None:
    """Forget what was sealed of tables before a migration sealed all of them anew."""
    for table in {part.partition(":")[0] for part in text.split(" ")}:
        parts.pop(table, None)
        if table in said:
            said[table] = type(said[table])(table)


class _Changing:
    """A table whose rows change: what the last part that names each says."""

    def __init__(self, table: str) -> None:
        self.table = table
        self.last: dict[int, str] = {}
        self.findings: list[str] = []

    def read(self, db: Any, parts: list[str]) -> None:
        """Remember what a page of the chain says; each change is of the row as it was left."""
        for part in parts:
            ids, _, hashes = part.partition("=")
            before, _, hashed = hashes.rpartition(">")
            row = _number(ids)
            if self.last.get(row, "") != before and len(self.findings) < MOST_FINDINGS:
                self.findings.append(
                    f"{self.table} {ids} was changed past the program, and later by it"
                )
            self.last[row] = hashed

    def finish(self, db: Any) -> list[str]:
        """Hold the rows that there are to it."""
        findings = self.findings
        for rows in _table(db, self.table):
            for row in rows:
                hashed = self.last.pop(row[0], None)
                if hashed is None:
                    findings.append(f"{self.table} {row[0]} was added past the program")
                elif sha256(ascii(row).encode("ascii")).hexdigest() != hashed:
                    findings.append(f"{self.table} {row[0]} was changed past the program")
        return findings + [f"{self.table} {row} is gone" for row in sorted(self.last)]


class _Kept:
    """An append-only table: each row is in one part."""

    def __init__(self, table: str) -> None:
        self.table = table
        self.named = Runs()
        self.findings: list[str] = []
        self.there = 0

    def read(self, db: Any, parts: list[str]) -> None:
        """Hold the rows that a page of the chain names to their hashes."""
        single: list[tuple[int, str]] = []
        several: list[tuple[str, list[int], str]] = []
        for part in parts:
            ids, _, hashed = part.partition("=")
            if ids.isdecimal():
                row = int(ids)
                single.append((row, hashed))
                if not self.named.add(row, row):
                    self._say(ids, "is sealed twice")
            else:
                each = self._name(ids)
                several.append((ids, each, hashed))
        wanted = [row for row, _ in single] + [row for _, each, _ in several for row in each]
        by_id = {row[0]: row for row in _rows(db, self.table, wanted)}
        self._hold_each(by_id, single)
        for ids, each, hashed in several:
            rows = [by_id[row] for row in each if row in by_id]
            self._judge(ids, len(each) - len(rows), len(rows), digest(rows) == hashed)

    def _name(self, ids: str) -> list[int]:
        runs = _runs(ids)
        if sum(last - first + 1 for first, last in runs) > PART:
            self._say(ids, "is more than the program seals at once")
            return []
        for run in runs:
            if not self.named.add(*run):
                self._say(ids, "is sealed twice")
        return [row for first, last in runs for row in range(first, last + 1)]

    def _hold_each(self, by_id: dict[int, tuple[Any, ...]], parts: list[tuple[int, str]]) -> None:
        """For parts of one row: most are, and a store has millions."""
        self.there += len(parts)
        for number, hashed in parts:
            row = by_id.get(number)
            if row is None:
                self._judge(str(number), 1, -1, False)
            elif sha256(ascii(row).encode("ascii")).hexdigest() != hashed:
                self._judge(str(number), 0, 0, False)

    def _judge(self, ids: str, lacking: int, there: int, holds: bool) -> None:
        self.there += there
        if not holds:
            self._say(ids, "is gone" if lacking else "was changed past the program")

    def _say(self, ids: str, what: str) -> None:
        if len(self.findings) < MOST_FINDINGS:
            one = "" if ids.isdecimal() else "one of "
            self.findings.append(f"{one}{self.table} {ids} {what}")

    def finish(self, db: Any) -> list[str]:
        """Find rows that no part names."""
        (count,) = db.execute_sql(f'SELECT COUNT(*) FROM "{self.table}"').fetchone()
        if count != self.there or self.findings:
            self.findings += [
                f"{self.table} {row[0]} was added past the program"
                for rows in _table(db, self.table)
                for row in rows
                if row[0] not in self.named
            ][:MOST_FINDINGS]
        return self.findings


class Runs:
    """A set of ids, kept as runs: as small as there are gaps in it."""

    def __init__(self) -> None:
        self._first: list[int] = []
        self._last: list[int] = []

    def add(self, first: int, last: int) -> bool:
        """Put ids in; whether none of them was in before."""
        if self._last and first == self._last[-1] + 1:
            self._last[-1] = last
            return True
        at = bisect_right(self._first, first)
        before_is_free = at == 0 or self._last[at - 1] < first
        if not before_is_free or (at < len(self._first) and self._first[at] <= last):
            return False
        self._first.insert(at, first)
        self._last.insert(at, last)
        return True

    def __contains__(self, one: int) -> bool:
        at = bisect_right(self._first, one)
        return at > 0 and one <= self._last[at - 1]


def _number(text: str) -> int:
    return int(text) if text.isdecimal() else 0


def _runs(ids: str) -> list[Run]:
    """The runs that a part names; ids that somebody wrote anyhow name nothing."""
    if ids.isdecimal():
        return [(int(ids), int(ids))]
    ends = [run.partition("-") for run in ids.split(",")]
    return [
        (int(first), int(last or first))
        for first, _, last in ends
        if first.isdecimal() and (last or first).isdecimal()
    ]


def _rows(db: Any, table: str, ids: list[int]) -> Rows:
    """Rows by their ids, which most often lie side by side."""
    if not ids:
        return []
    first, last = min(ids), max(ids)
    if last - first < 2 * len(ids):
        return _select(db, table, f"WHERE id BETWEEN {first} AND {last}")
    if on_sqlite(db):
        return _select(db, table, "WHERE id IN (SELECT value FROM json_each(?))", json.dumps(ids))
    return _select(db, table, "WHERE id = ANY(%s)", ids)


def _table(db: Any, table: str) -> Iterator[Rows]:
    after = 0
    while rows := _select(db, table, f"WHERE id > {after} ORDER BY id LIMIT {AT_ONCE}"):
        yield rows
        after = rows[-1][0]


def _select(db: Any, table: str, rest: str, *values: Any) -> Rows:
    rows: Rows = db.execute_sql(
        f'SELECT id, {TABLES[table].columns} FROM "{table}" {rest}', values
    ).fetchall()
    return rows
