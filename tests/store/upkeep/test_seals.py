"""Seals: what is hashed, that no row is left out, what the chain shows, and what it can't."""

from __future__ import annotations

import hashlib
import threading
from collections.abc import Iterator
from importlib import import_module
from typing import Any

import pytest
from cureyard_migrations import seals as frozen
from cureyard_migrations.dialect import on_sqlite
from cureyard_service.core import errors
from cureyard_service.store import tables
from cureyard_service.store.engine.database import db, open_store, writing
from cureyard_service.store.engine.rehearsal import rehearsal
from cureyard_service.store.engine.sealing import TABLES, tie_all
from cureyard_service.store.upkeep import proofs, seals
from cureyard_service.store.upkeep.migrate import migrate_back, migrate_forward
from cureyard_service.store.yard import heads
from peewee import Database

from ...bare import raw
from ...engines import Engine
from ...prepared import filled_by, opened
from .. import keeping
from .. import sample_yard as yard
from . import by_hand
from .by_hand import noticed


def some_work() -> None:
    """Some days' work."""
    keeping.work(db.obj)


worked = filled_by(some_work)


@pytest.fixture
def books(engine: Engine) -> Iterator[Database]:
    """A yard after some days."""
    with opened(engine, worked) as database:
        yield database


def last_parts() -> str:
    """What the newest transaction says that it wrote."""
    text: str = tables.Written.select().order_by(tables.Written.id.desc()).first().parts
    return text


def test_the_hash_is_of_the_row_as_it_is_written_down_here(store: Database) -> None:
    """The id, then each column in the order of their names: the hash is of this very text.

    `printf %s TEXT | openssl dgst -sha256` says the same, for whoever checks without the program.
    """
    bay = yard.add_bay()
    lot_less = tables.Reading.create(
        bay=bay, at=yard.NOW, temperature_mk=290_000, who="Zoë", recorded_at=yard.NOW, verified=0
    )
    text = (
        rf"(1, {yard.NOW}, {bay.id}, None, None, None, 0, None, {yard.NOW}, None, 290000, 0, "
        r"'Zo\xeb')"
    )
    hashed = hashlib.sha256(text.encode("ascii")).hexdigest()
    assert lot_less.id == 1
    assert last_parts() == f"reading:1={hashed}"


def test_both_engines_write_the_same_seals(store: Database) -> None:
    """The head after the same first rows, so that a store can be moved and its head stays."""
    with writing():
        tables.Bay.create(
            code="A", code_key="a", title="Shed", uncertainty_mk=1, gap_max_s=1, made_at=1
        )
    tie_all(store)
    columns = "(1, None, 'A', 'a', 1, 0, 1, 'Shed', 1, 1)"
    part = f"bay:1={hashlib.sha256(columns.encode()).hexdigest()}"
    version = tables.Written.get_by_id(1).version
    assert heads.head() == hashlib.sha256(f" {version} 0 {part}".encode()).hexdigest()


def test_rows_of_other_types_are_encoded_apart() -> None:
    """A number and its text, null and its word, one text with a comma and two."""
    rows: list[tuple[Any, ...]] = [(1,), ("1",), (None,), ("None",), ("a', 'b",), ("a", "b"), ()]
    assert len({frozen.encoded([row]) for row in rows}) == len(rows)
    assert frozen.encoded([(1,), (2,)]) != frozen.encoded([(1, 2)])


def test_many_rows_are_several_parts() -> None:
    """So that few are in doubt where one was changed."""
    rows = [(n,) for n in range(1, 1202)]
    names = [part.partition("=")[0] for part in frozen.parts("reading", rows)]
    assert names == ["reading:1-500", "reading:501-1000", "reading:1001-1201"]
    hashes = [frozen.digest([row]) for row in rows[:2]]
    changed = list(frozen.parts_of_changing("lot", rows[:2], {2: "a0"}))
    assert changed == [f"lot:1={hashes[0]}", f"lot:2=a0>{hashes[1]}"]


def test_a_part_that_names_a_billion_rows_is_told_and_not_read(books: Database) -> None:
    """What somebody wrote there by hand makes nobody wait."""
    by_hand.change(books, "UPDATE written SET parts = 'reading:1-9000000000=0' WHERE id = 2")
    assert "one of reading 1-9000000000 is more than the program seals at once" in noticed(books)


@pytest.mark.parametrize(
    ("ids", "said"), [([12, 13, 14], "12-14"), ([1, 3, 4, 9], "1,3-4,9"), ([5], "5")]
)
def test_rows_are_named_by_runs(ids: list[int], said: str) -> None:
    """And the runs are read back as they were written."""
    assert frozen.named(ids) == said
    read = [row for first, last in seals._runs(said) for row in range(first, last + 1)]
    assert read == ids


def test_a_transaction_leaves_one_row(store: Database) -> None:
    """However much it writes; a row that changes is named as it is at the end."""
    with writing():
        lot = yard.received(1_000)
        yard.post(lot, "draw", -10)
        yard.post(lot, "draw", -10)
    assert tables.Written.select().count() == 1
    names = [part.partition("=")[0] for part in last_parts().split()]
    assert names == ["lot:1", "movement:1-3", "product:1"]
    assert noticed(store) == []


def test_what_is_undone_leaves_no_seal(store: Database) -> None:
    """A rehearsal, and a transaction that broke off."""
    lot = yard.received(1_000)
    before = tables.Written.select().count()
    with rehearsal():
        yard.post(lot, "draw", -10)

    def breaks_off() -> None:
        yard.post(lot, "draw", -10)
        yard.post(lot, "draw", -10_000)

    with pytest.raises(errors.ShortStock), writing():
        breaks_off()
    assert tables.Written.select().count() == before
    with writing():
        with rehearsal():
            yard.post(lot, "draw", -10)
        yard.post(lot, "draw", -20)
    assert last_parts().split("=")[0] == "lot:1"
    assert noticed(store) == []


@pytest.mark.parametrize(
    "sql",
    [
        "UPDATE lot SET supplier = 'X'",
        "UPDATE \"lot\" SET supplier = 'X' WHERE id > 0 RETURNING id",
        "  update lot SET supplier = 'X'",
        "INSERT INTO bay (code, code_key, title, uncertainty_mk, gap_max_s, made_at, version, "
        "in_the_open) VALUES ('X', 'x', 'X', 1, 1, 1, 1, 0)",
    ],
)
def test_every_statement_is_noted(books: Database, sql: str) -> None:
    """However it is written, in a transaction or by itself."""
    db.execute_sql(sql)
    assert noticed(books) == []


def test_a_change_by_hand_is_not_covered_up_by_the_next_one(books: Database) -> None:
    """An entry seals the row as it is then; that it was another in between is still told."""
    by_hand.change(books, "UPDATE lot SET number = 'L-9' WHERE id = 1")
    yard.post(tables.Lot.get_by_id(1), "draw", -1)
    yard.post(tables.Lot.get_by_id(1), "draw", -1)
    assert noticed(books) == ["lot 1 was changed past the program, and later by it"]


def test_a_store_of_before_the_seals_is_sealed_as_it_is_found(books: Database) -> None:
    """All of it, by each one that seals; what is edited afterwards is noticed, in each way."""
    migrate_back(books, 24)
    migrate_forward(books)
    rows = list(tables.Written.select())
    assert rows
    assert all(row.found for row in rows)
    assert noticed(books) == []
    yard.post(tables.Lot.get_by_id(1), "draw", -1)
    assert noticed(books) == []
    by_hand.change(books, "UPDATE movement SET at = at + 1 WHERE id = 2")
    by_hand.change(books, "DELETE FROM need")
    by_hand.change(books, "UPDATE product SET name = 'Other' WHERE id = 2")
    assert noticed(books) == [
        "product 2 was changed past the program",
        "need 1 is gone",
        "one of movement 1-6 was changed past the program",
    ]


def test_a_migration_that_changes_rows_seals_them_anew(books: Database) -> None:
    """Without it they are told as changed; the chain goes on."""
    by_hand.change(books, "UPDATE movement SET who = 'Ines B.'")
    assert noticed(books)
    head = heads.head()
    with books.atomic():
        frozen.seal_as_found(books, 26, ["movement"], ["lot"])
    assert noticed(books) == []
    assert head is not None
    assert heads.had(head)


def test_a_cut_tail_shows_against_a_head_kept_elsewhere(books: Database) -> None:
    """By itself it leaves no gap; that is what a head on paper is for."""
    lot = tables.Lot.get_by_id(1)
    before = heads.head()
    yard.post(lot, "draw", -400)
    tie_all(books)
    after = heads.head()
    by_hand.change(
        books,
        "UPDATE lot SET on_hand = on_hand + 400, cost_left_minor = cost_left_minor - "
        "(SELECT -cost_minor FROM movement WHERE id = (SELECT MAX(id) FROM movement)) WHERE id = 1",
        "DELETE FROM movement WHERE id = (SELECT MAX(id) FROM movement)",
        "DELETE FROM seal WHERE id = (SELECT MAX(id) FROM seal)",
        "DELETE FROM written WHERE id = (SELECT MAX(id) FROM written)",
    )
    assert all(proof.ok for proof in proofs.prove(books)), "this is what it can't show"
    assert before is not None
    assert after is not None
    assert proofs.contains(books, before).ok
    assert not proofs.contains(books, after).ok


@pytest.mark.parametrize(
    ("typed", "read"),
    [
        ("3F2A 91bc 7d00 e4a1", "3f2a91bc7d00e4a1"),
        ("3f2a91bc7d00e4a1" * 4, "3f2a91bc7d00e4a1" * 4),
        ("3f2a 91bc 7d00", None),
        ("3f2a 91bc 7d00 e4a%", None),
        ("3f2a91bc7d00e4a1" * 5, None),
        ("", None),
    ],
)
def test_a_head_is_read_as_it_is_written_on_paper(typed: str, read: str | None) -> None:
    """In groups or not; too few digits tell nothing, and only digits are asked for."""
    assert heads.digits(typed) == read


@pytest.mark.only_on("postgresql")
def test_many_writers_make_one_chain(books: Database) -> None:
    """None waits for another's seal; each transaction is tied once, in an order that holds."""
    lots = [yard.received(1_000).id for _ in range(4)]

    def draws(lot: int) -> None:
        for _ in range(15):
            yard.post(tables.Lot.get_by_id(lot), "draw", -1)
        db.close()

    threads = [threading.Thread(target=draws, args=(lot,)) for lot in (*lots, lots[0])]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert noticed(books) == []
    assert tables.Seal.select().count() == tables.Written.select().count()
    assert all(proof.ok for proof in proofs.prove(books))


@pytest.mark.only_on("postgresql")
def test_what_is_not_tied_yet_is_looked_at_all_the_same(books: Database) -> None:
    """A transaction of which nobody tied the row, while somebody else holds the lock for it."""
    with raw(books) as other:
        other.execute("BEGIN; SELECT pg_advisory_xact_lock(4785327003)")
        yard.post(tables.Lot.get_by_id(1), "draw", -1)
        assert tables.Seal.select().count() < tables.Written.select().count()
        assert seals.every_row_is_as_it_was_sealed(books) == []
        by_hand.change(books, "UPDATE movement SET at = at + 1 WHERE id = 7")
        assert seals.every_row_is_as_it_was_sealed(books)
        other.execute("ROLLBACK")
    yard.post(tables.Lot.get_by_id(1), "draw", -1)
    assert tables.Seal.select().count() == tables.Written.select().count()


def test_a_store_can_be_opened_again(books: Database) -> None:
    """The chain goes on where it ended."""
    url = books.database
    head = heads.head()
    db.close()
    again = open_store(url)
    yard.post(tables.Lot.get_by_id(1), "draw", -1)
    assert noticed(again) == []
    assert head is not None
    assert heads.had(head)
    again.close()


def test_the_migration_seals_every_table_that_is_sealed() -> None:
    """Those that came after it begin empty."""
    migration = import_module("cureyard_migrations.0025_seals")
    assert {*migration.KEPT, *migration.CHANGING} == set(TABLES) - LATER
    assert set(migration.CHANGING) == {name for name, each in TABLES.items() if each.changing}


LATER = {
    "film_test", "finding", "finding_photograph", "layup_probe", "layup_probe_end", "leak_test",
    "leak_test_end", "meter", "moisture_reading", "sequence", "signature", "signature_end",
    "surface_note", "weighed_sample",
    "wetness_withdrawal",
}  # fmt: skip
"""Tables of migrations after 0025."""


def test_runs_of_ids() -> None:
    """What was put in is in, and nothing goes in twice, in whatever order it comes."""
    runs = seals.Runs()
    assert all([runs.add(5, 7), runs.add(8, 8), runs.add(1, 2), runs.add(20, 30), runs.add(10, 11)])
    assert [n for n in range(35) if n in runs] == [1, 2, 5, 6, 7, 8, 10, 11, *range(20, 31)]
    taken = [(8, 8), (4, 5), (1, 1), (15, 20), (30, 31), (0, 40)]
    assert not any(runs.add(first, last) for first, last in taken)


def test_what_is_not_sealed_is_named_with_its_reason() -> None:
    """A table is sealed, or it is one of these."""
    sealed = {model for model in tables.MODELS if model._meta.table_name in TABLES}
    assert set(tables.MODELS) - sealed == set(tables.NOT_SEALED)


def test_a_guard_of_another_text_is_told(books: Database) -> None:
    """One that is there and refuses nothing; a trigger or a view more; an index less."""
    on = on_sqlite(books)
    with raw(books) as bare:
        bare.execute("DROP TRIGGER movement_no_delete" + ("" if on else " ON movement"))
        bare.execute(
            "CREATE TRIGGER movement_no_delete BEFORE DELETE ON movement BEGIN SELECT 1; END"
            if on
            else "CREATE TRIGGER movement_no_delete AFTER DELETE ON movement FOR EACH ROW "
            "EXECUTE FUNCTION refuse_change()"
        )
        bare.execute(
            "CREATE TRIGGER mine AFTER INSERT ON lot BEGIN SELECT 1; END"
            if on
            else "CREATE TRIGGER mine AFTER INSERT ON lot FOR EACH ROW "
            "EXECUTE FUNCTION refuse_change()"
        )
        bare.execute("CREATE VIEW lots AS SELECT id FROM lot")
        bare.execute("DROP INDEX lot_number")
    (guards,) = (proof for proof in proofs.prove(books) if proof.name == "guards stand")
    assert set(guards.findings) == {
        "index lot_number is gone",
        "trigger movement_no_delete is not as the program made it",
        "trigger mine is none of the program's",
        "view lots is none of the program's",
    }


@pytest.mark.only_on("postgresql")
def test_what_is_switched_off_is_told(books: Database) -> None:
    """A guard, the checks of references, and a rule or a function that undoes what is written."""
    with raw(books) as bare:
        bare.execute("ALTER TABLE need DISABLE TRIGGER need_no_update")
        bare.execute("ALTER TABLE movement DISABLE TRIGGER ALL")
        bare.execute("CREATE RULE quiet AS ON INSERT TO logbook DO INSTEAD NOTHING")
        bare.execute(
            "CREATE OR REPLACE FUNCTION refuse_change() RETURNS trigger LANGUAGE plpgsql AS "
            "$$ BEGIN RETURN NEW; END $$"
        )
    (guards,) = (proof for proof in proofs.prove(books) if proof.name == "guards stand")
    for said in ("trigger need_no_update is not", "trigger of references on movement is none",
                 "rule quiet is none", "function refuse_change is not"):  # fmt: skip
        assert any(each.startswith(said) for each in guards.findings), said
