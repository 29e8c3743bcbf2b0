"""Stores to measure on: an invented yard, new or with years of rows behind it.

Years are written by the database itself in a few statements. They add up as what the acts write
does: `prove` finds nothing in them.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import timedelta
from decimal import Decimal
from pathlib import Path

from cureyard_migrations.seals import seal_as_found
from cureyard_service.acts.jobs import job as open_job
from cureyard_service.acts.products import product as add_product
from cureyard_service.acts.yard import moments
from cureyard_service.store.engine.database import db, open_store, opened
from cureyard_service.store.engine.sealing import TABLES
from cureyard_service.store.engine.versions import code_version
from cureyard_service.store.upkeep.migrate import migrate_forward

from ..acts import sample_yard as yard
from ..acts.sample_yard import DAY, HAND, NOW

KINDS = 40
"""Products whose lots fill a store: a yard's catalogue."""
YEARS_DAYS = 10 * 365
LONG_AGO = NOW - YEARS_DAYS * DAY
READ_EVERY_S = 600

_NUMBERS = "WITH RECURSIVE n(i) AS (VALUES (0) UNION ALL SELECT i + 1 FROM n WHERE i + 1 < {})"
_SIGNED = "recorded_at, who, verified"


def new(path: str) -> str:
    """A yard with resin, peroxide and a filler in stock, each with its cost."""
    migrate_forward(open_store(path))
    yard.set_up()
    for code, kilos in (("LAM", 900), ("PEROX", 90), ("MICROS", 90)):
        cost = {"amount": Decimal(5000), "currency": "EUR"}
        yard.receive(
            code, f"{kilos} kg", now=NOW - 20 * DAY, cost=cost,
            expires_on=moments.day_of(NOW) + timedelta(days=300),
        )  # fmt: skip
    db.close()
    return path


def catalogue() -> list[int]:
    """Products to fill a store with, in the store that is open; their ids."""
    return [
        add_product.add_product(
            code=f"OLD-{number}", name="Filler", role="filler", now=LONG_AGO, hand=HAND
        ).id
        for number in range(KINDS)
    ]


def add_lots(path: str, lots: int, lines: int, *, stocked: str) -> None:
    """Lots with so many movements each, as they came in turn, of products of their own.

    Each has days of its own, as in a yard: lots that share them are judged together.

    Args:
        stocked: SQL on a lot's number `i`: whether anything is left in it.
    """
    open_store(path)
    catalogue()
    db.close()
    left, came = f"({stocked}) * 1000", f"{LONG_AGO} + i % {YEARS_DAYS} * {DAY} + i"
    with rows(path) as sql:
        (first,) = sql.execute("SELECT MIN(id) FROM product WHERE code LIKE 'OLD-%'").fetchone()
        (after,) = sql.execute("SELECT MAX(id) FROM lot").fetchone()
        sql.execute(
            f"{_NUMBERS.format(lots)} INSERT INTO lot (product_id, number, number_key, container, "
            "on_hand, received_at, received_on, expires_on, held, version) "
            f"SELECT {first} + i % {KINDS}, 'OLD-' || i, 'old-' || i, '1', {left}, {came}, "
            f"date({came}, 'unixepoch'), date('2027-01-01', '+' || i || ' days'), 0, 1 FROM n"
        )
        sql.execute(
            f"{_NUMBERS.format(lines)} INSERT INTO movement (lot_id, kind, amount, on_hand, "
            f"job_id, at, {_SIGNED}) "
            "SELECT l.id, CASE i WHEN 0 THEN 'receipt' ELSE 'draw' END, "
            f"CASE i WHEN 0 THEN l.on_hand + 1000 * {lines - 1} ELSE -1000 END, "
            f"l.on_hand + 1000 * ({lines - 1} - i), CASE i WHEN 0 THEN NULL ELSE 1 END, "
            f"{LONG_AGO} + i, {LONG_AGO} + i, 'Ines', 0 "
            f"FROM n CROSS JOIN lot l WHERE l.id > {after} ORDER BY i, l.id"
        )


def add_cures(path: str, layups: int) -> None:
    """Layups in cure in one bay, one every quarter of an hour, each of a pot of its own."""
    open_store(path)
    for number in range(-(-layups // 10)):
        open_job.open_job(
            number=f"C-{number}", title="Deck", craft=f"the dory Teal {number}", structural="no",
            now=NOW - 10 * DAY, hand=HAND,
        )  # fmt: skip
    for number in range(layups):
        at, job = NOW - (number + 1) * 900, f"C-{number // 10}"
        pot = yard.pot("500 g", now=at, job=job)
        yard.laid(pot.id, now=at, job=job)
    db.close()


def add_readings(path: str, since: int) -> None:
    """The shed's temperature every ten minutes since a moment, warmer by day."""
    with rows(path) as sql:
        (bay,) = sql.execute("SELECT id FROM bay WHERE code = 'SHED'").fetchone()
        count = (NOW - since) // READ_EVERY_S
        at = f"{since} + i * {READ_EVERY_S}"
        sql.execute(
            f"{_NUMBERS.format(count)} INSERT INTO reading (bay_id, at, temperature_mk, {_SIGNED}) "
            f"SELECT {bay}, {at}, 291150 + ((i / 6) % 24 - 12) * ((i / 6) % 24 - 12) * 30, {at}, "
            "'Ines', 0 FROM n"
        )


def add_closed_jobs(path: str, jobs: int) -> None:
    """Jobs long done, with four closed layups each, looked at twice; needs one that cures."""
    with rows(path) as sql:
        (job, layup) = (
            sql.execute(f"SELECT MAX(id) + 1 FROM {table}").fetchone()[0]
            for table in ("job", "layup")
        )
        number = "'X-' || i"
        done = {"opened_at": LONG_AGO, "closed_at": LONG_AGO + DAY}
        _copy(sql, "job", jobs, number=number, number_key=f"lower({number})", **done)
        laid = {"applied_at": LONG_AGO, "finished_at": LONG_AGO, "closed_at": LONG_AGO + DAY}
        _copy(sql, "layup", 4 * jobs, job_id=f"{job} + i / 4", **laid)
        sql.execute(
            f"{_NUMBERS.format(8 * jobs)} INSERT INTO layup_observation (layup_id, kind, at, "
            f"{_SIGNED}) SELECT {layup} + i / 2, 'gelled', {LONG_AGO}, {LONG_AGO}, 'Ines', 0 FROM n"
        )


def _copy(sql: sqlite3.Connection, table: str, count: int, **changed: object) -> None:
    """Rows like a table's last one, but for some columns; `i` is the number of the copy."""
    names = [row[1] for row in sql.execute(f"PRAGMA table_info({table})") if row[1] != "id"]
    values = ", ".join(str(changed.get(name, f"o.{name}")) for name in names)
    sql.execute(
        f"{_NUMBERS.format(count)} INSERT INTO {table} ({', '.join(names)}) SELECT {values} "
        f"FROM n CROSS JOIN (SELECT * FROM {table} ORDER BY id DESC LIMIT 1) o"
    )


@contextmanager
def rows(path: str) -> Iterator[sqlite3.Connection]:
    """A store by its SQL, in one transaction, its guards in place; sealed anew after it."""
    connection = sqlite3.connect(path)
    connection.execute("PRAGMA foreign_keys = on")
    try:
        with connection:
            yield connection
    finally:
        connection.close()
    with opened(path) as store, store.atomic():
        kept = [name for name, table in TABLES.items() if not table.changing]
        changing = [name for name in TABLES if name not in kept]
        seal_as_found(store, code_version(), kept, changing)


def at(folder: Path, name: str) -> str:
    """Where a store is to be."""
    return str(folder / f"{name}.sqlite")
