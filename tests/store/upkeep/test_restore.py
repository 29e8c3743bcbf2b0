"""A restore: looked at, brought along and proved before it counts; the old store is kept."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import psycopg
import pytest
from cureyard_migrations.dialect import on_sqlite
from cureyard_service.store import tables
from cureyard_service.store.engine import versions
from cureyard_service.store.engine.database import db, open_store, opened
from cureyard_service.store.engine.faults import LockedElsewhere, NoBackup, NotAStore, StoreUnusable
from cureyard_service.store.engine.locks import serving
from cureyard_service.store.upkeep.admitted import Carried
from cureyard_service.store.upkeep.backup import back_up
from cureyard_service.store.upkeep.migrate import migrate_back, schema_version
from cureyard_service.store.upkeep.proofs import prove
from cureyard_service.store.upkeep.restore import Outlook, Restored, look, restore
from cureyard_service.store.yard import feeds, logbook, tokens
from peewee import Database

from ...bare import drop_guard, raw
from ...engines import Engine
from .. import sample_yard as yard
from ..keeping import MOVEMENTS, but_for_its_entry, contents, copied_as_it_is, put_on_path, work


@pytest.fixture(autouse=True)
def _programs(engine: Engine, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    put_on_path(engine, monkeypatch)
    yield
    db.close()


def put(store: Database, file: Path, now: int = yard.NOW, **how: bool) -> Restored:
    """Restore a file in a store's place, and open what is there then."""
    db.close()
    store.close()
    done = restore(store.database, file, now=now, hand=yard.HAND, **how)
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
    assert but_for_its_entry(contents(db.obj)) == then
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


def token(name: str) -> tables.Token:
    """A token of a person's."""
    hashes = (hashlib.sha256(f"{kind} {name}".encode()).hexdigest() for kind in ("s", "p"))
    return tokens.add(name, "hand", *hashes, now=yard.NOW, hand=yard.HAND)


def feed(name: str) -> tables.Feed:
    """A calendar feed of the yard."""
    hash_ = hashlib.sha256(name.encode()).hexdigest()
    return feeds.add(None, None, hash_, now=yard.NOW, hand=yard.HAND)


def standing() -> dict[str, bool]:
    """Whose token counts in the store in use, by name."""
    return {
        row.name: tokens.standing_by_secret(row.secret_hash) is not None
        for row in tables.Token.select()
    }


def test_a_backup_older_than_the_first_token_does_not_open_the_yard(
    store: Database, tmp_path: Path
) -> None:
    """Today's tokens come along with their ends, and the logbook says so."""
    work(store)
    file = tmp_path / "yard.backup"
    back_up(store, file)
    tokens.end(token("Ada").id, "lost", now=yard.NOW + 5, hand=yard.HAND)
    token("Rui")
    kept = contents(store)
    assert look(store.database, file) == Outlook(tokens=2, in_backup=False)
    assert look(store.database, file).opens
    done = put(store, file)
    assert (done.carried, done.has_tokens) == (Carried(2, 1), True)
    assert standing() == {"Ada": False, "Rui": True}
    now = contents(db.obj)
    assert (now["token"], now["token_end"]) == (kept["token"], kept["token_end"])
    told = [(entry.kind, entry.about) for entry in logbook.entries(None, 1)]
    assert told == [("tokens carried over", "2 made and 1 revoked since the backup")]
    assert all(proof.ok for proof in prove(db.obj))
    token("Eva")  # the next has a number of its own
    db.close()


def test_what_was_revoked_since_the_backup_stays_revoked(store: Database, tmp_path: Path) -> None:
    """A lost phone is not let in again; what the backup has by itself stays as it is."""
    file = tmp_path / "yard.backup"
    ada, rui = token("Ada"), token("Rui")
    tokens.end(ada.id, "lost", now=yard.NOW, hand=yard.HAND)
    first, second = feed("phone"), feed("wall")
    feeds.end(first.id, None, now=yard.NOW, hand=yard.HAND)
    back_up(store, file)
    tokens.end(rui.id, "lost too", now=yard.NOW + 7, hand=yard.HAND)
    feeds.end(second.id, "sold", now=yard.NOW + 7, hand=yard.HAND)
    feed("made since")  # its address has to be made anew: its job may not be there
    assert look(store.database, file) == Outlook(tokens=2, in_backup=True)
    assert not look(store.database, file).opens
    done = put(store, file)
    assert done.carried == Carried(0, 2)
    assert standing() == {"Ada": False, "Rui": False}
    end = tokens.end_of(rui.id)
    assert end is not None
    assert (end.reason, end.recorded_at, end.who) == ("lost too", yard.NOW + 7, "Ines")
    ended = feeds.ends_of([first.id, second.id])
    assert (set(ended), ended[second.id].reason) == ({first.id, second.id}, "sold")
    db.close()


def test_phones_stay_in(store: Database, tmp_path: Path) -> None:
    """One that was let in or used since the backup is a phone as before, with its last use."""
    hashes = iter("abcd")
    old, new = (
        tokens.add(name, "hand", next(hashes) * 64, next(hashes) * 64, now=yard.NOW,
                   hand=yard.HAND, kind="phone")
        for name in ("Rui", "Eva")
    )  # fmt: skip
    tokens.note_use(old.id, yard.NOW + 5)
    file = tmp_path / "yard.backup"
    back_up(store, file)
    tokens.note_use(old.id, yard.NOW + 50)
    tokens.note_use(new.id, yard.NOW + 60)
    kit = tokens.add("Kit", "lead", "e" * 64, "f" * 64, now=yard.NOW, hand=yard.HAND, kind="phone")
    tokens.note_use(kit.id, yard.NOW + 70)
    restore(store.database, file, now=yard.NOW + 90, hand=yard.HAND)
    found = [tokens.standing_by_page(each * 64) for each in "bdf"]
    assert [(row.name, row.kind, row.used_at - yard.NOW) for row in found if row] == [
        ("Rui", "phone", 50), ("Eva", "phone", 60), ("Kit", "phone", 70)
    ]  # fmt: skip


def test_tokens_whose_numbers_are_taken(store: Database, tmp_path: Path) -> None:
    """After a restore that left tokens behind others had their numbers; all are known."""
    token("Ada")
    back_up(store, tmp_path / "yard.backup")
    token("Rui")
    put(store, tmp_path / "yard.backup", carry=False)
    token("Eva")
    back_up(db.obj, tmp_path / "later.backup")
    db.close()
    done = put(store, tmp_path / "later.backup", now=yard.NOW + 1)
    assert done.carried == Carried(0, 0)
    assert standing() == {"Ada": True, "Eva": True}
    token("Kit")
    done = put(store, tmp_path / "yard.backup", now=yard.NOW + 2)
    assert done.carried == Carried(2, 0)
    assert standing() == {"Ada": True, "Eva": True, "Kit": True}
    db.close()


def test_a_sensors_token_comes_along_where_its_bay_is(store: Database, tmp_path: Path) -> None:
    """A bay that the backup does not know has no sensor."""
    file = tmp_path / "yard.backup"
    token("Ada")
    shed = yard.add_bay()
    back_up(store, file)
    tent = yard.add_bay()
    for name, bay in (("Shed probe", shed), ("Tent probe", tent)):
        hashes = (hashlib.sha256(f"{kind} {name}".encode()).hexdigest() for kind in ("s", "p"))
        tokens.add(name, "sensor", *hashes, now=yard.NOW, hand=yard.HAND, bay_id=bay.id)
    assert put(store, file).carried == Carried(1, 0)
    assert standing() == {"Ada": True, "Shed probe": True}
    probe = tables.Token.get(tables.Token.name == "Shed probe")
    assert (probe.role, probe.bay.code) == ("sensor", shed.code)
    db.close()


def test_tokens_left_behind(store: Database, tmp_path: Path) -> None:
    """Told so, the backup's own count alone, and it is as open as it was."""
    work(store)
    back_up(store, tmp_path / "yard.backup")
    token("Ada")
    done = put(store, tmp_path / "yard.backup", carry=False)
    assert (done.carried, done.has_tokens) == (Carried(0, 0), False)
    assert standing() == {}
    db.close()


def test_tokens_that_are_damaged(store: Database, tmp_path: Path) -> None:
    """Rows that no store takes are not carried over without a word, and the old store stays."""
    back_up(store, tmp_path / "yard.backup")
    token("Ada")
    with raw(store) as bare:
        drop_guard(bare, store, "token", "token_no_update")
        bare.execute("UPDATE token SET role = 'king'")
    refused(store, tmp_path / "yard.backup", "Restore without them", NoBackup)
    assert put(store, tmp_path / "yard.backup", carry=False).carried == Carried(0, 0)
    db.close()


def test_a_store_of_before_tokens(store: Database, tmp_path: Path) -> None:
    """Neither the backup nor today's has a place for them."""
    work(store)
    migrate_back(store, 4)
    file = copied_as_it_is(store, tmp_path / "old.backup")
    assert look(store.database, file) == Outlook(tokens=0, in_backup=False)
    assert not look(store.database, file).opens
    done = put(store, file)
    assert (done.carried, done.has_tokens) == (Carried(0, 0), False)
    token("Ada")
    assert look(store.database, file).opens
    db.close()


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
    refused(store, tmp_path / "notes", "is a backup of|not a store|is cut off|pg_restore")


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
    refused(store, file, "cut off|pg_restore")


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
    refused(store, file, f"don't add up: lot {lot.id} ", NoBackup)


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
    assert look(store.database, tmp_path / "yard.backup") == Outlook(tokens=None, in_backup=False)
    done = put(store, tmp_path / "yard.backup")
    assert (done.account.movements, done.carried) == (MOVEMENTS, None)
    assert done.kept is not None
    assert Path(done.kept).read_bytes() == wreck
    db.close()


@pytest.mark.only_on("sqlite")
def test_a_file_in_use_is_no_backup(store: Database, engine: Engine) -> None:
    """Part of it may stand in its log, which a copy of the file would leave behind."""
    work(store)
    with pytest.raises(NoBackup, match="A program uses"):
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
