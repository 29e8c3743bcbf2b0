"""What a request asks of a database: how many queries, and none that reads a whole table."""

from __future__ import annotations

import re
import sqlite3
from collections.abc import Callable, Sequence
from typing import Any

SMALL = {
    "yard", "bay", "token", "CONSTANT", "json_each", "layup_open", "lot_stocked", "job_open",
}  # fmt: skip
"""Tables, lists asked for, and indexes of what is live, that do not grow with the years."""

_NAMED = re.compile(r'"(\w+)" AS "(t\d+)"')


def compared(store: str, old: Sequence[str], new: Sequence[str]) -> dict[str, str]:
    """A row's note and fault, of the statements that one request came to in two stores."""
    with sqlite3.connect(store) as connection:
        found = sorted({line for sql in old for line in scans(connection.execute, sql)})
    connection.close()
    faults = []
    if found:
        faults.append("; ".join(found))
    if len(old) != len(new):
        faults.append(f"{len(old)} queries, {len(new)} in the young store")
    note = f"{len(old)} queries" + ("" if found else ", no SCAN")
    return {"note": note, "fault": "; ".join(faults)}


def scans(execute: Callable[[str], Any], sql: str) -> list[str]:
    """Where a statement reads a table through that grows with the years."""
    if not sql.lstrip("(").upper().startswith(("SELECT", "UPDATE", "DELETE", "WITH")):
        return []
    plan = [str(row[3]) for row in execute(f"EXPLAIN QUERY PLAN {sql}").fetchall()]
    names = {alias: table for table, alias in _NAMED.findall(sql)}
    told = [[names.get(word, word) for word in line.split()] for line in plan]
    return [" ".join(words) for words in told if words[0] == "SCAN" and SMALL.isdisjoint(words)]
