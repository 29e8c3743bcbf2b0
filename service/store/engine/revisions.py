"""How far the store has come, without reading what is in it; and what was worked out of it.

    forecasts = memory().once(("forecasts", layups), lambda: …)

Each transaction that writes rows moves the head of the chain of seals, so as long as that is the
same, all that is sealed is the same. On PostgreSQL a seal follows its commit: there it is the
snapshot that tells, which says which transactions it sees, tied to the chain or not (PostgreSQL's
manual, 'System Information Functions', `pg_current_snapshot`). Rows that are edited by hand past
the program move neither: they are seen with the next entry.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable
from typing import Any, NamedTuple, TypeVar, cast
from weakref import WeakKeyDictionary

from cureyard_migrations.dialect import on_sqlite
from peewee import Database

from .database import db, is_reading, once
from .faults import translated

RECORDED = (
    "reading", "bay_pattern", "layup", "layup_observation", "layup_move", "batch_observation",
    "cup_test", "layup_earlier", "withdrawal",
)  # fmt: skip
_LAST_IDS = " + ".join(f"COALESCE((SELECT MAX(id) FROM {table}), 0)" for table in RECORDED)
_ASKED = f"""
    SELECT {_LAST_IDS} + (SELECT version FROM yard) + COALESCE((SELECT SUM(version) FROM bay), 0),
        COUNT(*), COALESCE(SUM(version), 0)
    FROM layup WHERE closed_at IS NULL
"""


class Revision(NamedTuple):
    """Equal to another where nothing came in between.

    Attributes:
        rises: a number that only rises: with each row that a milestone may rest on, and each
            change of a bay or the yard.
        layups, changes: how many layups are watched, and the sum of their versions.
    """

    rises: int
    layups: int
    changes: int


def revision() -> Revision:
    """The store's revision, as this transaction sees it: four numbers, however old the store is."""
    with translated():
        return Revision(*map(int, db.execute_sql(_ASKED).fetchone()))


_Made = TypeVar("_Made")
_HEAD = "SELECT head FROM seal WHERE id = (SELECT MAX(id) FROM seal)"
_HEAD_AND_SEEN = f"SELECT ({_HEAD}), pg_current_snapshot()::text"
_MISSING = object()

MOST = 100
"""Things that are kept of one state of the store; more begin anew."""


class Memory:
    """What was worked out of one state of the store.

    It is for work that rests on the store and on its name alone, and not on the moment. What is
    kept is shared by threads, and nobody changes it.
    """

    def __init__(self, state: Any = None) -> None:
        self.state = state
        self._found: dict[Hashable, Any] = {}

    def once(self, name: Hashable, work: Callable[[], _Made]) -> _Made:
        """What the work made before, or makes now."""
        found = self._found.get(name, _MISSING)
        if found is _MISSING:
            found = work()
            if len(self._found) >= MOST:
                self._found = {}
            self._found[name] = found
        return cast(_Made, found)


_kept: WeakKeyDictionary[Database, Memory] = WeakKeyDictionary()
"""Of each store in use, that of the state which was seen last."""


def memory() -> Memory:
    """The memory of the state that this transaction sees.

    A transaction that writes, and whatever is outside of any, gets one that nobody else has.
    """
    return once("memory", _shared) if is_reading() else Memory()


def _shared() -> Memory:
    state = _state()
    kept = _kept.get(db.obj)
    if kept is None or kept.state != state:
        kept = _kept[db.obj] = Memory(state)
    return kept


def _state() -> Any:
    with translated():
        return db.execute_sql(_HEAD if on_sqlite(db) else _HEAD_AND_SEEN).fetchone()
