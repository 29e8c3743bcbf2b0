"""What a request asks of a database: how many queries, and none that reads a whole table."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence

SMALL = ("yard", "bay", "token", "CONSTANT")
"""What a plan may read from end to end: it does not grow with the years."""


def compared(store: str, old: Sequence[str], new: Sequence[str]) -> dict[str, str]:
    """A row's note and fault, of the statements that one request came to in two stores."""
    scans = sorted({line for sql in old for line in _plan(store, sql) if _reads_all(line)})
    faults = []
    if scans:
        faults.append("; ".join(scans))
    if len(old) != len(new):
        faults.append(f"{len(old)} queries, {len(new)} in the young store")
    return {"note": f"{len(old)} queries, no SCAN", "fault": "; ".join(faults)}


def _plan(store: str, sql: str) -> list[str]:
    if not sql.lstrip("(").upper().startswith(("SELECT", "UPDATE", "DELETE", "INSERT", "WITH")):
        return []
    with sqlite3.connect(store) as connection:
        found = [str(row[3]) for row in connection.execute(f"EXPLAIN QUERY PLAN {sql}")]
    connection.close()
    return found


def _reads_all(line: str) -> bool:
    return line.startswith("SCAN ") and line.split()[1] not in SMALL
