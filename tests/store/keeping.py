"""What tests of backups, restores and moves share."""

from __future__ import annotations

import os
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from cureyard_migrations.dialect import on_sqlite
from cureyard_service.store.upkeep import pg_programs
from peewee import Database

from ..engines import Engine
from . import sample_yard as yard


def put_on_path(engine: Engine, monkeypatch: pytest.MonkeyPatch) -> None:
    """Have the engine's own programs found, where they are not installed."""
    if engine.programs is not None:
        monkeypatch.setenv("PATH", f"{engine.programs}{os.pathsep}{os.environ['PATH']}")


def work(store: Database) -> None:
    """Some days' work: stock, draws, a pot, a need."""
    resin = yard.received(50_000, cost_minor=12_345, currency="EUR")
    catalyst = yard.received(1_000)
    pot = yard.add_batch(resin, catalyst)
    yard.post(resin, "draw", -1_000, batch=pot.id)
    yard.post(catalyst, "draw", -20, batch=pot.id)
    yard.reverse(yard.post(resin, "draw", -5))
    yard.add_need(yard.add_job(), resin.product, 4)
    yard.add_reading(yard.add_bay(), yard.NOW, 290)


DUMPED = ("--format=custom", "--schema=public", "--no-owner")

MOVEMENTS = 6
"""Lines that `work` leaves in the ledger."""


def copied_as_it_is(store: Database, file: Path) -> Path:
    """A copy of a store that nobody looked at."""
    if on_sqlite(store):
        with (
            closing(sqlite3.connect(store.database)) as there,
            closing(sqlite3.connect(file)) as to,
        ):
            there.backup(to)
    else:
        pg_programs.run("pg_dump", store.database, *DUMPED, f"--file={file}")
    return file


def contents(store: Database) -> dict[str, list[tuple[object, ...]]]:
    """Every row of every table."""
    return {
        table: sorted(store.execute_sql(f'SELECT * FROM "{table}"').fetchall(), key=repr)
        for table in set(store.get_tables()) - {"sqlite_sequence"}
    }


def but_for_its_entry(
    rows: dict[str, list[tuple[object, ...]]],
) -> dict[str, list[tuple[object, ...]]]:
    """Every row but a restore's own: its entry in the logbook, and the seal of that, the last."""
    last = max(rows["written"])
    assert str(last[-1]).startswith("logbook:")
    own = ("logbook", rows["logbook"]), ("written", [last]), ("seal", [max(rows["seal"])])
    return rows | {table: [row for row in rows[table] if row not in mine] for table, mine in own}
