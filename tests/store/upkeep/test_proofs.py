"""Each proof finds the fault that it is for, and a sound store has none.

The faults are planted by a bare connection that drops the guards first: what the
triggers refuse, no test of ours could do otherwise.
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from cureyard_migrations.dialect import on_sqlite
from cureyard_service.store import tables
from cureyard_service.store.upkeep import proofs
from cureyard_service.store.upkeep.account import account
from cureyard_service.store.upkeep.proofs import CHECKS, Proof, prove
from peewee import Database

from ...bare import drop_guard, raw
from ...engines import Engine
from ...prepared import filled_by, opened
from .. import sample_yard as yard


def some_days() -> None:
    """Deliveries, a pot with a filler, an undone pot, a count."""
    resin = yard.received(50_000, cost_minor=12_345, currency="EUR")
    catalyst, filler = yard.received(1_000), yard.received(9_000)
    pot, lost = yard.add_batch(resin, catalyst), yard.add_batch(resin, catalyst)
    for lot, amount in ((resin, 1_000), (catalyst, 20), (filler, 77)):
        yard.post(lot, "draw", -amount, batch=pot.id)
    draw = yard.post(resin, "draw", -1_000, batch=lost.id)
    yard.post(catalyst, "draw", -20, batch=lost.id)
    yard.reverse(draw, whole_batch=True)
    yard.post(resin, "count", -3, counted_at=yard.NOW)
    tables.Override.create(slug="expired-lot", reason="cup test", lot=resin, **yard.SIGNED)
    job, other = yard.add_job(), yard.add_job()
    yard.add_need(job, resin.product, 4, replaces=yard.add_need(job, resin.product, 5))
    yard.add_need(other, filler.product, 6)
    yard.add_photograph(job=job)
    yard.add_photograph(lot=resin)


worked = filled_by(some_days)


@pytest.fixture
def books(engine: Engine) -> Iterator[Database]:
    """A yard after some days."""
    with opened(engine, worked) as database:
        yield database


def failing(store: Database) -> dict[str, Proof]:
    """The proofs that don't hold, by name."""
    return {proof.name: proof for proof in prove(store) if not proof.ok}


def test_a_sound_store_proves(books: Database) -> None:
    """Every proof was put and holds."""
    proved = prove(books)
    assert [proof for proof in proved if not proof.ok] == []
    assert len(proved) == len(CHECKS)
    assert all(check.__doc__ for check in CHECKS)


PLANTED = {
    "lots are the sum of their lines": [
        ("UPDATE lot SET on_hand = on_hand + 1 WHERE id = 1", "lot 1 "),
        ("UPDATE lot SET cost_left_minor = cost_left_minor - 1 WHERE id = 1", "lot 1 "),
        ("DELETE FROM movement WHERE lot_id = 3", "lot 3 "),
        ("UPDATE movement SET cost_minor = 7 WHERE kind = 'count'", "lot 1 "),
    ],
    "every line carries on": [
        ("UPDATE movement SET on_hand = on_hand + 1 WHERE id = 4", "movement 4 "),
        ("UPDATE movement SET amount = amount - 1 WHERE id = 5", "movement 5 "),
    ],
    "nothing below zero": [
        ("UPDATE lot SET on_hand = -1 WHERE id = 2", "lot 2 "),
        ("UPDATE movement SET on_hand = -5 WHERE id = 6", "movement 6 "),
    ],
    "reversals mirror": [
        ("UPDATE movement SET amount = amount + 1 WHERE reverses_id = 7", "movement 7"),
        ("UPDATE movement SET lot_id = 3 WHERE reverses_id = 8", "movement 8"),
        ("UPDATE movement SET cost_minor = 0 WHERE reverses_id = 7", "movement 7"),
        ("DELETE FROM movement WHERE id = 8", "movement 8"),
    ],
    "pots were drawn": [
        ("UPDATE movement SET batch_id = NULL WHERE lot_id = 2 AND batch_id = 1", "pot 1:"),
        ("UPDATE movement SET amount = -900 WHERE lot_id = 1 AND batch_id = 1", "pot 1:"),
        ("UPDATE movement SET amount = -1001 WHERE lot_id = 1 AND batch_id = 1", "pot 1:"),
        ("DELETE FROM movement WHERE reverses_id = 7", "pot 2:"),
        ("DELETE FROM movement WHERE batch_id = 2", "pot 2:"),
    ],
    "overrides have reasons": [("UPDATE override SET reason = ' '", "override 1 of 'expired-lot'")],
    "nothing reserved for a closed job": [
        (f"UPDATE job SET closed_at = {yard.NOW - 1}", "need 1 of job "),
        ("UPDATE need SET job_id = 1 WHERE id = 1", "replaces one of another job"),
        ("UPDATE need SET product_id = 2 WHERE id = 2", "need 2 of job "),
    ],
    "photographs are as they were kept": [
        (f"UPDATE photograph SET sha256 = '{'0' * 64}' WHERE id = 2", "photograph 2:"),
        (
            "UPDATE photograph SET jpeg = (SELECT jpeg FROM photograph WHERE id = 2) WHERE id = 1",
            "photograph 1:",
        ),
    ],
    "references lead somewhere": [
        ("DELETE FROM job", "no job"),
        ("UPDATE lot SET bay_id = 77", "no bay"),
    ],
    "tables are the models": [("ALTER TABLE bay DROP COLUMN title", "bay, column title")],
}
FAULTS = [(name, change, said) for name, faults in PLANTED.items() for change, said in faults]


@pytest.mark.parametrize(("name", "change", "said"), FAULTS)
def test_a_planted_fault_is_found(books: Database, name: str, change: str, said: str) -> None:
    """By the proof for it, which names the row."""
    with raw(books) as bare:
        for table in ("movement", "override", "batch", "need", "photograph"):
            for event in ("update", "delete"):
                drop_guard(bare, books, table, f"{table}_no_{event}")
        assert bare.execute(change).rowcount != 0
    assert any(said in finding for finding in failing(books)[name].findings)


@pytest.mark.parametrize("at_once", [1, 2, 3])
@pytest.mark.parametrize(("change", "said"), PLANTED["every line carries on"])
def test_the_ledger_is_one_book_whatever_is_read_at_once(
    books: Database, monkeypatch: pytest.MonkeyPatch, at_once: int, change: str, said: str
) -> None:
    """A lot's sum goes on from one page to the next; the findings are those of one page."""
    with raw(books) as bare:
        drop_guard(bare, books, "movement", "movement_no_update")
        bare.execute(change)
    whole = proofs.every_line_carries_on(books)
    assert any(said in finding for finding in whole)
    monkeypatch.setattr(proofs, "LINES_AT_ONCE", at_once)
    assert proofs.every_line_carries_on(books) == whole


LEDGER = ("every line carries on", "nothing below zero", "reversals mirror")
HIDING = [
    *((name, change, said, "product") for name, change, said in FAULTS),
    *((*fault, "lot") for fault in FAULTS if fault[0] in LEDGER and "UPDATE lot" not in fault[1]),
    *((*fault, "job") for fault in FAULTS if fault[2].startswith(("need 2", "replaces"))),
]


@pytest.mark.parametrize(("name", "change", "said", "missing"), HIDING)
def test_missing_rows_hide_no_fault(
    books: Database, name: str, change: str, said: str, missing: str
) -> None:
    """A fault is found where all that its rows point at is gone."""
    with raw(books) as bare:
        for table in ("movement", "override", "batch", "need", "photograph"):
            for event in ("update", "delete"):
                drop_guard(bare, books, table, f"{table}_no_{event}")
        assert bare.execute(change).rowcount != 0
        bare.execute(f"DELETE FROM {missing}")
    found = failing(books)
    assert any(said in finding for finding in found[name].findings)
    assert any(f"no {missing}" in line for line in found["references lead somewhere"].findings)


def test_a_line_whose_lot_is_missing(books: Database) -> None:
    """Proved all the same: the line is named, and what is wrong elsewhere is told beside it."""
    with raw(books) as bare:
        for event in ("update", "delete"):
            drop_guard(bare, books, "movement", f"movement_no_{event}")
        bare.execute("UPDATE movement SET on_hand = on_hand + 1 WHERE id = 6")
        bare.execute("DELETE FROM lot WHERE id = 3")
        bare.execute("UPDATE lot SET on_hand = -1 WHERE id = 2")
    found = failing(books)
    (line,) = found["every line carries on"].findings
    assert line.startswith("lot 3 (not there): movement 6 left ")
    assert found["nothing below zero"].findings[-1].startswith("lot 2 (")
    assert len(prove(books)) == len(CHECKS)
    assert account(books).findings


@pytest.mark.parametrize("table", [model._meta.table_name for model in tables.MODELS])
@pytest.mark.parametrize("gone", ["DELETE FROM {}", "DROP TABLE {}"])
def test_whatever_is_gone_each_proof_answers(books: Database, table: str, gone: str) -> None:
    """A proof that can't be made says so by itself; the others are made."""
    with raw(books) as bare:
        if gone.startswith("DELETE") and table in {m._meta.table_name for m in tables.APPEND_ONLY}:
            drop_guard(bare, books, table, f"{table}_no_delete")
        cascade = "" if on_sqlite(books) or gone.startswith("DELETE") else " CASCADE"
        bare.execute(gone.format(table) + cascade)
    found = {proof.name: proof for proof in prove(books)}
    assert len(found) == len(CHECKS)
    if gone.startswith("DROP"):
        said = found["tables are the models"].findings
        assert f"table {table} is in the models alone" in said
    if (gone, table) == ("DROP TABLE {}", "movement"):
        (line,) = found["every line carries on"].findings
        assert line.startswith("this could not be proved: ")
        assert found["overrides have reasons"].ok


@pytest.mark.parametrize("gone", ["DELETE FROM movement", "DROP TABLE movement"])
def test_a_store_without_its_ledger_has_no_movements(books: Database, gone: str) -> None:
    """The account is given all the same; beside the proofs it reads no table but the ledger."""
    with raw(books) as bare:
        drop_guard(bare, books, "movement", "movement_no_delete")
        bare.execute(gone + ("" if on_sqlite(books) or "DELETE" in gone else " CASCADE"))
    told = account(books)
    assert told.movements == 0
    assert told.findings


def test_a_missing_guard_is_found(books: Database) -> None:
    """A trigger that somebody dropped is named, and nothing else is wrong."""
    with raw(books) as bare:
        drop_guard(bare, books, "movement", "movement_no_delete")
    found = failing(books)
    assert list(found) == ["guards stand"]
    assert found["guards stand"].findings == ("trigger movement_no_delete is gone",)


def test_a_broken_store_is_not_listed_without_end(store: Database) -> None:
    """A proof stops after so many rows."""
    product = yard.add_product()
    for _ in range(proofs.MOST_FINDINGS + 5):
        yard.add_lot(product)
    with raw(store) as bare:
        bare.execute("UPDATE lot SET on_hand = 5")
    found = failing(store)["lots are the sum of their lines"].findings
    assert len(found) == proofs.MOST_FINDINGS


@pytest.mark.parametrize(("measure", "unit"), proofs.UNITS.items())
def test_a_finding_says_its_unit(store: Database, measure: str, unit: str) -> None:
    """An amount is told in the base unit of the product's measure."""
    yard.add_lot(yard.add_product(measure))
    with raw(store) as bare:
        bare.execute("UPDATE lot SET on_hand = 5")
    (finding,) = failing(store)["lots are the sum of their lines"].findings
    assert f"on hand 5 {unit} " in finding
