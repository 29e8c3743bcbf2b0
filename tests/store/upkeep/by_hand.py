"""A store changed by hand: its guards are off meanwhile, and stand again afterwards."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from cureyard_migrations.dialect import on_sqlite
from cureyard_service.store.engine.database import reading
from cureyard_service.store.engine.sealing import tie_all
from cureyard_service.store.upkeep.seals import every_row_is_as_it_was_sealed
from peewee import Database

from ...bare import raw


@contextmanager
def unguarded(store: Database) -> Iterator[Any]:
    """A bare connection, with the triggers off while it is used."""
    with raw(store) as bare:
        if not on_sqlite(store):  # where `raw` has them off for itself
            yield bare
            return
        triggers = bare.execute(
            "SELECT name, sql FROM sqlite_master WHERE type = 'trigger'"
        ).fetchall()
        for name, _ in triggers:
            bare.execute(f"DROP TRIGGER {name}")
        yield bare
        for _, sql in triggers:
            bare.execute(sql)


def change(store: Database, *statements: str) -> None:
    """Do some statements; each changes something."""
    with unguarded(store) as bare:
        for sql in statements:
            assert bare.execute(sql).rowcount != 0, sql


def noticed(store: Database) -> list[str]:
    """What the proof of the seals finds."""
    tie_all(store)
    with reading():
        return every_row_is_as_it_was_sealed(store)
