"""What a request asks of a database: how many queries, and none that reads a whole table."""

from __future__ import annotations

import re
import sqlite3
from collections.abc import Sequence

SMALL = {"yard", "bay", "token", "CONSTANT", "layup_open"}
"""Tables, and an index of the open layups alone, that do not grow with the years."""

_NAMED = re.compile(r'"(\w+)" AS "(t\d+)"')


def compared(store: str, old: Sequence[str], new: Sequence[str]) -> dict[str, str]:
    """A row's note and fault, of the statements that one request came to in two stores."""
    scans = sorted({line for sql in old for line in _plan(store, sql) if _reads_all(line)})
    faults = []
    if scans:
        faults.append("; ".join(scans))
    if len(old) != len(new):
        faults.append(f"{len(old)} queries, {len(new)} in the young store")
    note = f"{len(old)} queries" + ("" if scans else ", no SCAN")
    return {"note": note, "fault": "; ".join(faults)}


def _plan(store: str, sql: str) -> list[str]:
    if not sql.lstrip("(").upper().startswith(("SELECT", "UPDATE", "DELETE", "INSERT", "WITH")):
        return []
    with sqlite3.connect(store) as connection:
        found = [str(row[3]) for row in connection.execute(f"EXPLAIN QUERY PLAN {sql}")]
    connection.close()
    names = {alias: table for table, alias in _NAMED.findall(sql)}
    return [" ".join(names.get(word, word) for word in line.split()) for line in found]


def _reads_all(line: str) -> bool:
    return line.startswith("SCAN ") and SMALL.isdisjoint(line.split())
