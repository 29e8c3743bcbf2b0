"""Whatever is changed by hand, with the guards off, is noticed: each edit by its name, and any."""

from __future__ import annotations

import random
import sqlite3
from collections.abc import Iterator
from typing import Any

import psycopg
import pytest
from cureyard_migrations.dialect import on_sqlite
from cureyard_service.store import tables
from cureyard_service.store.engine.sealing import TABLES
from peewee import Database

from ...engines import Engine
from ...prepared import filled_by, opened
from .. import sample_yard as yard
from . import by_hand
from .by_hand import noticed
from .test_guards import a_row_each
from .test_proofs import some_days


def overrides_and_tokens() -> None:
    """A second one of what is only added, so that the first and the last can be told apart."""
    resin = tables.Lot.get_by_id(1)
    yard.post(resin, "draw", -7)
    tables.Override.create(slug="past-window", reason="sanded", lot=resin, **yard.SIGNED)
    hashes = {"secret_hash": "d" * 64, "page_hash": "e" * 64}
    tables.Token.create(name="Ada", role="admin", **hashes, **yard.SIGNED)
    tables.Yard.create(
        id=1, zone="UTC", units="metric", currency="EUR", identity="f" * 32, seeded_at=yard.NOW
    )


filled = filled_by(a_row_each, some_days, overrides_and_tokens)


@pytest.fixture
def books(engine: Engine) -> Iterator[Database]:
    """A store with rows in every table."""
    with opened(engine, filled) as database:
        yield database


LAST = "(SELECT MAX(id) FROM movement)"
OF_LAST = f"(SELECT lot_id FROM movement WHERE id = {LAST})"

EDITS: dict[str, tuple[str, ...]] = {
    # the ledger
    "a draw made smaller, the books in order": (
        f"UPDATE movement SET amount = amount + 1, on_hand = on_hand + 1 WHERE id = {LAST}",
        f"UPDATE lot SET on_hand = on_hand + 1 WHERE id = {OF_LAST}",
    ),
    "the last line, and its lot as before": (
        f"UPDATE lot SET on_hand = on_hand - (SELECT amount FROM movement WHERE id = {LAST}) "
        f"WHERE id = {OF_LAST}",
        f"DELETE FROM movement WHERE id = {LAST}",
    ),
    "a whole lot with its lines": (
        "DELETE FROM movement WHERE lot_id = (SELECT MAX(id) FROM lot)",
        "DELETE FROM lot WHERE id = (SELECT MAX(id) FROM lot)",
    ),
    "a line on another lot": (f"UPDATE movement SET lot_id = 2 WHERE id = {LAST}",),
    "a line for another job": (f"UPDATE movement SET job_id = 1 WHERE id = {LAST}",),
    "a line for no pot": (
        "UPDATE movement SET batch_id = NULL "
        "WHERE id = (SELECT MIN(id) FROM movement WHERE batch_id IS NOT NULL)",
    ),
    "a line later": ("UPDATE movement SET at = at + 86400 WHERE id = 3",),
    "a line recorded earlier": ("UPDATE movement SET recorded_at = recorded_at - 1 WHERE id = 3",),
    "a line by another": ("UPDATE movement SET who = 'Rui' WHERE id = 3",),
    "a line's name proven": ("UPDATE movement SET verified = 1 - verified WHERE id = 3",),
    "a line of another kind": ("UPDATE movement SET kind = 'scrap' WHERE id = 3",),
    "a line's reason": ("UPDATE movement SET reason = 'spilt' WHERE id = 3",),
    "a line as typed": ("UPDATE movement SET typed = '5 kg' WHERE id = 3",),
    "a line's density": ("UPDATE movement SET density_mg_l = 1 WHERE id = 3",),
    "a line's currency": ("UPDATE movement SET currency = 'USD', cost_minor = 0 WHERE id = 3",),
    "a count's moment": ("UPDATE movement SET counted_at = counted_at + 1 WHERE kind = 'count'",),
    "a count's acceptance taken away": ("DELETE FROM acceptance",),
    "a count accepted by another": ("UPDATE acceptance SET who = 'Rui'",),
    "two lines in each other's place": (
        "UPDATE movement SET id = 9001 WHERE id = 1",
        "UPDATE movement SET id = 1 WHERE id = 2",
        "UPDATE movement SET id = 2 WHERE id = 9001",
    ),
    "all lines": ("DELETE FROM movement",),
    # lots
    "a lot's number": ("UPDATE lot SET number = 'L-9', number_key = 'l-9' WHERE id = 1",),
    "a lot's last day": ("UPDATE lot SET expires_on = '2031-01-01' WHERE id = 1",),
    "a lot's making": ("UPDATE lot SET made_on = '2025-01-01' WHERE id = 1",),
    "a lot's opening": ("UPDATE lot SET opened_on = '2025-01-01' WHERE id = 1",),
    "a lot's receipt": ("UPDATE lot SET received_on = '2020-01-01' WHERE id = 1",),
    "a lot held": ("UPDATE lot SET held = 1, hold_reason = 'wet' WHERE id = 1",),
    "a lot's bay": ("UPDATE lot SET bay_id = 1 WHERE id = 1",),
    "a lot's supplier": ("UPDATE lot SET supplier = 'another' WHERE id = 1",),
    "a lot's product": ("UPDATE lot SET product_id = 2 WHERE id = 1",),
    "a lot put in": (
        "INSERT INTO lot (product_id, number, number_key, container, on_hand, received_at, "
        "received_on, held, version) VALUES (1, 'X', 'x', '1', 0, 1, '2026-01-01', 0, 1)",
    ),
    "a lot's event taken away": ("DELETE FROM lot_event",),
    "a lot's event earlier": ("UPDATE lot_event SET at = at - 86400",),
    # jobs, needs, plans
    "a job's craft": ("UPDATE job SET craft = 'another' WHERE id = 1",),
    "a job's authority": ("UPDATE job SET authority = 'surveyor' WHERE id = 1",),
    "a job no longer structural": ("UPDATE job SET structural = 'no' WHERE id = 1",),
    "a job closed": ("UPDATE job SET closed_at = opened_at + 9999999 WHERE id = 1",),
    "a job taken away": ("DELETE FROM job WHERE id = (SELECT MAX(id) FROM job)",),
    "a need's amount": ("UPDATE need SET amount = amount + 1 WHERE id = 1",),
    "a need taken away": ("DELETE FROM need WHERE id = (SELECT MAX(id) FROM need)",),
    "a plan's words": ("""UPDATE plan SET answer = '{"a": 1}'""",),
    # products and cure sheets
    "a product's name": ("UPDATE product SET name = 'Other' WHERE id = 1",),
    "a product's shelf life": ("UPDATE product SET shelf_life_s = 1 WHERE id = 1",),
    "a product's peroxide": ("UPDATE product SET peroxide_type = 'mekp' WHERE id = 1",),
    "a cure sheet's law": ("UPDATE cure_sheet SET body = body || ' ' WHERE id = 1",),
    "a cure sheet's revision": ("UPDATE cure_sheet SET revision = 77 WHERE id = 1",),
    "a cure sheet taken away": ("DELETE FROM cure_sheet WHERE id = 1",),
    # bays and their readings
    "a reading warmer": ("UPDATE reading SET temperature_mk = temperature_mk + 1 WHERE id = 1",),
    "a reading drier": ("UPDATE reading SET humidity_ppm = 500000 WHERE id = 1",),
    "a reading later": ("UPDATE reading SET at = at + 600 WHERE id = 1",),
    "a reading's correction taken away": ("DELETE FROM reading WHERE replaces_id = 1",),
    "a reading put in": (
        "INSERT INTO reading (bay_id, at, temperature_mk, recorded_at, who, verified) "
        "VALUES (1, 5, 293000, 5, 'Ines', 0)",
    ),
    "a bay's title": ("UPDATE bay SET title = 'other' WHERE id = 1",),
    "a bay's thermometer checked": ("UPDATE bay SET checked_on = '2026-01-01' WHERE id = 1",),
    "a bay's nights": ("UPDATE bay_pattern SET night_mk = night_mk + 1",),
    # pots and layups
    "a pot's percent": ("UPDATE batch SET percent_ppm = percent_ppm + 1 WHERE id = 1",),
    "a pot's card": ("UPDATE batch SET answer = answer || ' ' WHERE id = 1",),
    "a pot's look taken away": ("DELETE FROM batch_observation",),
    "a cup test's verdict": ("UPDATE cup_test SET verdict = 'other'",),
    "a layup laid later": ("UPDATE layup SET applied_at = applied_at + 60 WHERE id = 1",),
    "a layup of another job": ("UPDATE layup SET job_id = (SELECT MAX(id) FROM job) WHERE id = 1",),
    "a layup's look later": ("UPDATE layup_observation SET at = at + 60",),
    "a layup's move taken away": ("DELETE FROM layup_move",),
    "a layup's pot taken away": ("DELETE FROM layup_batch",),
    "a layup's earlier words": ("UPDATE layup_earlier SET title = 'other'",),
    "a withdrawal taken away": ("DELETE FROM withdrawal WHERE id = 1",),
    # decisions and people
    "an override taken away": ("DELETE FROM override WHERE id = (SELECT MAX(id) FROM override)",),
    "an override's reason": ("UPDATE override SET reason = 'told to' WHERE id = 1",),
    "an override by another": ("UPDATE override SET who = 'Rui' WHERE id = 1",),
    "an entry of the logbook taken away": ("DELETE FROM logbook",),
    "a token's role": ("UPDATE token SET role = 'admin' WHERE id = 1",),
    "a token put in": (
        "INSERT INTO token (name, role, secret_hash, page_hash, recorded_at, who, verified) "
        f"VALUES ('Eve', 'admin', '{'1' * 64}', '{'2' * 64}', 1, 'Eve', 1)",
    ),
    "a revocation taken away": ("DELETE FROM token_end",),
    "a feed's revocation taken away": ("DELETE FROM feed_end",),
    "what was told of a layup": ("DELETE FROM reached",),
    "the yard's zone": ("UPDATE yard SET zone = 'Asia/Tokyo'",),
    "the yard's profile": ("UPDATE yard SET profile = 'marine'",),
    # the seals themselves
    "a transaction's row": ("UPDATE written SET parts = 'lot:1=0' WHERE id = 3",),
    "a transaction's row taken away": ("DELETE FROM written WHERE id = 3",),
    "a row of the chain taken away": ("DELETE FROM seal WHERE id = 3",),
    "a head": (f"UPDATE seal SET head = '{'0' * 64}' WHERE id = 3",),
    "a transaction said to be as found": ("UPDATE written SET found = 1 WHERE id = 3",),
    "all seals": ("DELETE FROM seal", "DELETE FROM written"),
}


def test_nothing_is_noticed_where_nothing_was_changed(books: Database) -> None:
    """Every table has rows, and the seals hold."""
    assert noticed(books) == []
    empty = [t for t in TABLES if books.execute_sql(f'SELECT 1 FROM "{t}"').fetchone() is None]
    assert empty == []


@pytest.mark.parametrize("edit", EDITS.values(), ids=EDITS)
def test_an_edit_is_noticed(books: Database, edit: tuple[str, ...]) -> None:
    """By the seals, whatever other proof may notice it too."""
    by_hand.change(books, *edit)
    assert noticed(books)


MANY = 100


def test_any_edit_is_noticed(books: Database) -> None:
    """A row of any table changed in any column, taken away, or put in; and undone, none is."""
    picks = random.Random(16)
    names = {t: [f.column_name for f in _model(t)._meta.sorted_fields] for t in TABLES}
    done: dict[str, int] = {"changed": 0, "gone": 0, "added": 0}
    with by_hand.unguarded(books) as bare:
        while sum(done.values()) < MANY:
            table = picks.choice(sorted(TABLES))
            row = picks.choice(_rows(bare, table, names[table]))
            what = picks.choice(sorted(done))
            try:
                undo = _edit(bare, books, picks, table, names[table], row, what)
            except (sqlite3.IntegrityError, psycopg.IntegrityError):
                continue  # a key that is taken: nothing was edited
            found = noticed(books)
            assert any(table in each for each in found), f"{table} {row['id']} {what}"
            undo()
            done[what] += 1
    assert noticed(books) == []
    assert min(done.values()) > MANY // 10


def _model(table: str) -> Any:
    (model,) = (model for model in tables.MODELS if model._meta.table_name == table)
    return model


def _rows(bare: Any, table: str, names: list[str]) -> list[dict[str, Any]]:
    columns = ", ".join(f'"{name}"' for name in names)
    found = bare.execute(f'SELECT {columns} FROM "{table}" ORDER BY id').fetchall()
    return [dict(zip(names, row, strict=True)) for row in found]


def _edit(
    bare: Any, store: Database, picks: random.Random, table: str, names: list[str],
    row: dict[str, Any], what: str,
) -> Any:  # fmt: skip
    """Edit a row; what undoes it."""
    mark = "?" if on_sqlite(store) else "%s"

    def write(row: dict[str, Any]) -> None:
        columns = ", ".join(f'"{name}"' for name in names)
        places = ", ".join([mark] * len(names))
        values = [row[name] for name in names]
        bare.execute(f'INSERT INTO "{table}" ({columns}) VALUES ({places})', values)

    def remove(row: dict[str, Any]) -> None:
        bare.execute(f'DELETE FROM "{table}" WHERE id = {mark}', (row["id"],))

    if what == "gone":
        remove(row)
        return lambda: write(row)
    sealed = TABLES[table].columns  # a photograph's own proof holds its bytes
    column = picks.choice([name for name in names if f'"{name}"' in sealed])
    value = row[column]
    column_is_text = type(_model(table)._meta.columns[column]).__name__ in ("TextField", "Day")
    other = row | {column: f"{value or ''}x" if column_is_text else (value or 0) + 1}
    if what == "added":
        other["id"] = 10_000 + picks.randrange(10_000)
        write(other)
        return lambda: remove(other)
    set_ = f'UPDATE "{table}" SET "{column}" = {mark} WHERE id = {mark}'
    bare.execute(set_, (other[column], row["id"]))
    return lambda: bare.execute(set_, (value, row["id"]))
