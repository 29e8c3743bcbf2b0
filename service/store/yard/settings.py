"""The yard itself: the one row of its settings."""

from __future__ import annotations

from typing import Any, NamedTuple

from .. import tables
from ..engine.database import forget, once
from ..engine.rows import Reader, exists

_ONLY = 1


class Yard(NamedTuple):
    """The yard's settings; `identity` tells it from other yards and never changes.

    `sureness` is the chance on the other side of each edge of a band, in percent; `jump_mk` is the
    most that a probe may change in a minute, in mK.
    """

    zone: str
    units: str
    currency: str
    address: str
    profile: str
    identity: str
    sureness: int
    jump_mk: int
    version: int


_YARD = Reader(Yard, tables.Yard)


def settings() -> Yard:
    """The yard's settings, of a store that has been set up."""
    return once("yard", lambda: _YARD.of_id(_ONLY))


def change(**columns: str | int) -> None:
    """Set columns and raise the version."""
    changes = tables.Yard.update(version=tables.Yard.version + 1, **columns)
    changes.where(tables.Yard.id == _ONLY).execute()
    forget("yard")


def seed(**columns: Any) -> None:
    """Write the row, unless it is there."""
    tables.Yard.insert(id=_ONLY, **columns).on_conflict_ignore().execute()


def is_seeded() -> bool:
    """Whether the row is there."""
    return exists("SELECT 1 FROM yard")
