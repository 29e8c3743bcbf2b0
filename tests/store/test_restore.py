"""A restore: looked at, brought along and proved before it counts; the old store is kept."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import psycopg
import pytest
from cureyard_service.store import logbook, tables, versions
from cureyard_service.store.backup import back_up
from cureyard_service.store.database import db, open_store, opened
from cureyard_service.store.faults import LockedElsewhere, NoBackup, NotAStore, StoreUnusable
from cureyard_service.store.locks import serving
from cureyard_service.store.migrate import migrate_back, schema_version
from cureyard_service.store.proofs import prove
from cureyard_service.store.restore import Restored, restore
from peewee import Database

from ..bare import on_sqlite, raw
from ..engines import Engine
from . import yard
from .keeping import MOVEMENTS, contents, copied_as_it_is, put_on_path, work


@pytest.fixture(autouse=True)
def _programs(engine: Engine, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    put_on_path(engine, monkeypatch)
    yield
    db.close()


def put(store: Database, file: Path) -> Restored:
    """Restore a file in a store's place, and open what is there then."""
    store.close()
    done = restore(store.database, file, now=yard.NOW, hand=yard.HAND)
    open_store(store.database)
    return done


def test_what_was_is_again_and_the_rest_is_kept(store: Database, tmp_path: Path) -> None:
    """The books of the backup, an entry in its logbook, and the newer store aside and whole."""
    work(store)
    file = tmp_path / "yard.backup"
    back_up(store, file)
    then = contents(store)
    yard.post(yard.received(700), "draw", -1)
    done = put(store, file)
    assert (done.account.movements, done.account.findings) == (MOVEMENTS, ())
    assert {t: r for t, r in contents(db.obj).items() if t != "logbook"} == {
        t: r for t, r in then.items() if t != "logbook"
    }
    (entry,) = logbook.entries(None, 10)
    assert (entry.kind, entry.about, entry.who) == ("restored", "store, from yard.backup", "Ines")
    yard.post(tables.Lot.get_by_id(1), "draw", -1)
    db.close()
    assert _aside(store, done) == MOVEMENTS + 2


def _aside(store: Database, done: Restored) -> int:
    """How many movements the store has that was set aside."""
    assert done.kept is not None
    if on_sqlite(store):
        with opened(done.kept) as kept:
            assert all(proof.ok for proof in prove(kept))
            return int(tables.Movement.select().count())
    with psycopg.connect(store.database) as connection:
        schema = done.kept.removeprefix("schema ")
        (count,) = connection.execute(f"SELECT COUNT(*) FROM {schema}.movement").fetchone()
        return int(count)


def test_where_there_was_none(store: Database, engine: Engine, tmp_path: Path) -> None:
    """A new machine: nothing is kept aside, as nothing was there."""
    work(store)
    back_up(store, tmp_path / "yard.backup")
    there = engine.empty()
    done = restore(there, tmp_path / "yard.backup", now=yard.NOW, hand=yard.HAND)
    assert (done.kept, done.account.movements) == (None, MOVEMENTS)
    with opened(there) as other:
        assert all(proof.ok for proof in prove(other))


def test_an_older_backup_is_brought_along(store: Database, engine: Engine, tmp_path: Path) -> None:
    """Through the migrations, with its ledger as it was."""
    yard.post(yard.received(1_000), "draw", -10)
    migrate_back(store, 1)
    file = copied_as_it_is(store, tmp_path / "old.backup")
    there = engine.empty()
    done = restore(there, file, now=yard.NOW, hand=yard.HAND)
    assert (done.version, done.account.version) == (1, versions.code_version())
    assert (done.account.movements, done.account.findings) == (2, ())
    with opened(there) as other:
        assert schema_version(other) == versions.code_version()


def refused(store: Database, file: Path, words: str, kind: type = StoreUnusable) -> None:
    """Hold a restore to leaving the store, and its folder, as they were."""
    before, names = contents(store), _names(store)
    with pytest.raises(kind, match=words):
        put(store, file)
    db.close()
    open_store(store.database)
    assert contents(db.obj) == before
    assert _names(store) == names


def _names(store: Database) -> Any:
    if on_sqlite(store):
        there = os.listdir(Path(store.database).parent)
        return sorted(name for name in there if not name.endswith(("-wal", "-shm", ".lock")))
    return store.execute_sql("SELECT nspname FROM pg_namespace ORDER BY 1").fetchall()


@pytest.mark.parametrize("content", [b"", b"Dear diary", b"PGDMP", b"SQLite format 3\0" * 20])
def test_what_is_no_backup_is_refused(store: Database, tmp_path: Path, content: bytes) -> None:
    """A file of anything else, or one that only begins like one."""
    work(store)
    (tmp_path / "notes").write_bytes(content)
    refused(store, tmp_path / "notes", "no backup|not a store|is torn|pg_restore")


def test_a_file_that_is_not_there_is_refused(store: Database, tmp_path: Path) -> None:
    """It is not made."""
    refused(store, tmp_path / "nothing", "can't be read", NoBackup)
    assert os.listdir(tmp_path) == []


def test_a_torn_backup_is_refused(store: Database, tmp_path: Path) -> None:
    """A copy that broke off."""
    work(store)
    file = tmp_path / "yard.backup"
    back_up(store, file)
    file.write_bytes(file.read_bytes()[: file.stat().st_size // 2])
    refused(store, file, "torn|pg_restore")


def test_a_backup_of_a_newer_program_is_refused(store: Database, tmp_path: Path) -> None:
    """An older program would not know what is in it."""
    store.execute_sql(
        "INSERT INTO schema_migration (name, applied) VALUES ('9999_later', '2026-01-01')"
    )
    file = copied_as_it_is(store, tmp_path / "later.backup")
    store.execute_sql("DELETE FROM schema_migration WHERE name = '9999_later'")
    refused(store, file, "9999")


def test_a_backup_whose_books_do_not_hold_is_refused(store: Database, tmp_path: Path) -> None:
    """It names the first thing that is wrong."""
    lot = yard.received(500)
    with raw(store) as bare:
        bare.execute("UPDATE lot SET on_hand = 499")
        file = copied_as_it_is(store, tmp_path / "broken.backup")
        bare.execute("UPDATE lot SET on_hand = 500")
    refused(store, file, f"do not hold: lot {lot.id} ", NoBackup)


def test_a_store_that_is_served_is_not_replaced(store: Database, tmp_path: Path) -> None:
    """The server would go on with the old one."""
    work(store)
    back_up(store, tmp_path / "yard.backup")
    with serving(store), pytest.raises(LockedElsewhere):
        restore(
            store.database, tmp_path / "yard.backup", now=yard.NOW, hand=yard.HAND, patience_s=0.1
        )
    assert tables.Movement.select().count() == MOVEMENTS


@pytest.mark.only_on("sqlite")
def test_in_the_place_of_a_damaged_store(store: Database, tmp_path: Path) -> None:
    """That is what a backup is for: the wreck is kept as it is."""
    work(store)
    back_up(store, tmp_path / "yard.backup")
    store.close()
    wreck = Path(store.database).read_bytes()[:5000]
    Path(store.database).write_bytes(wreck)
    done = put(store, tmp_path / "yard.backup")
    assert done.account.movements == MOVEMENTS
    assert done.kept is not None
    assert Path(done.kept).read_bytes() == wreck
    db.close()


@pytest.mark.only_on("sqlite")
def test_a_file_in_use_is_no_backup(store: Database, engine: Engine) -> None:
    """Part of it may stand in its log, which a copy of the file would leave behind."""
    work(store)
    with pytest.raises(NoBackup, match="in use"):
        restore(engine.empty(), Path(store.database), now=yard.NOW, hand=yard.HAND)


@pytest.mark.only_on("postgresql")
def test_other_tables_of_the_database_are_not_set_aside(store: Database, tmp_path: Path) -> None:
    """They are somebody's."""
    back_up(store, tmp_path / "yard.backup")
    store.execute_sql("CREATE TABLE invoices (id BIGINT)")
    refused(store, tmp_path / "yard.backup", "invoices", NoBackup)


@pytest.mark.only_on("postgresql")
def test_after_a_restore_that_was_killed_no_empty_store_is_begun(store: Database) -> None:
    """Between setting the old one aside and the new one's coming there is no schema at all."""
    work(store)
    store.execute_sql("ALTER SCHEMA public RENAME TO before_20261125_120000")
    store.close()
    with pytest.raises(NotAStore, match="no schema") as told:
        open_store(store.database)
    assert "RENAME TO public" in told.value.advice
    store.execute_sql("ALTER SCHEMA before_20261125_120000 RENAME TO public")
    assert tables.Movement.select().count() == MOVEMENTS
