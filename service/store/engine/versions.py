"""Which migration the store stands at, and which one this code was written for."""

from __future__ import annotations

from functools import lru_cache
from importlib.resources import files
from pathlib import Path
from typing import Any

HISTORY = "schema_migration"
"""The migration runner's table of what was applied."""

MIGRATIONS = Path(str(files("cureyard_migrations")))


def _number(name: str) -> int:
    return int(name.partition("_")[0])


def newest(folder: Path = MIGRATIONS) -> int:
    """The number of a folder's newest migration; 0 when it has none."""
    return max((_number(path.stem) for path in folder.glob("[0-9]*_*.py")), default=0)


@lru_cache(maxsize=1)
def code_version() -> int:
    """The schema version that this code reads and writes."""
    return newest()


def schema_version(db: Any) -> int:
    """The version that the store stands at; 0 for one without tables."""
    if not db.table_exists(HISTORY):
        return 0
    return _latest(db)


def version_matches(db: Any) -> bool:
    """Whether a migrated store still stands at the code's version: one small select."""
    return _latest(db) == code_version()


def _latest(db: Any) -> int:
    (name,) = db.execute_sql("SELECT MAX(name) FROM schema_migration").fetchone()
    return 0 if name is None else _number(name)
