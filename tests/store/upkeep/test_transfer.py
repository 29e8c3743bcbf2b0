"""A store taken over to the other database, and back: the same rows, and it goes on."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from cureyard_service.store import tables
from cureyard_service.store.engine.database import db, open_store, opened
from cureyard_service.store.engine.faults import LockedElsewhere, NoBackup
from cureyard_service.store.engine.locks import serving
from cureyard_service.store.upkeep.migrate import migrate_forward
from cureyard_service.store.upkeep.proofs import prove
from cureyard_service.store.upkeep.transfer import digest, move
from peewee import Database, IntegrityError

from ...engines import Engine
from .. import sample_yard as yard
from ..keeping import MOVEMENTS, contents, work

pytestmark = pytest.mark.only_on("postgresql")


@pytest.fixture
def file(tmp_path: Path) -> Iterator[Database]:
    """A store in a file, after some days' work."""
    database = open_store(str(tmp_path / "yard.sqlite"))
    migrate_forward(database)
    work(database)
    yield database
    database.close()


TABLES = [model._meta.table_name for model in tables.MODELS]


def digests(store: Database) -> dict[str, str]:
    """Each table's."""
    return {table: digest(store, table) for table in TABLES}


def test_there_and_back(file: Database, engine: Engine, tmp_path: Path) -> None:
    """To PostgreSQL, a day's work there, and back into a new file: every row, with its id."""
    there, back = engine.empty(), str(tmp_path / "back.sqlite")
    before = contents(file)
    moved = move(file, there)
    assert (moved.movements, moved.findings) == (MOVEMENTS, ())
    assert contents(file) == before
    with opened(there) as other:
        assert digests(other) == digests(file)
        assert tables.Yard.select().count() == 0
        work(other)
        assert all(proof.ok for proof in prove(other))
        again = move(other, back)
        assert (again.movements, again.findings) == (2 * MOVEMENTS, ())
        kept = digests(other)
    with opened(back) as returned:
        assert digests(returned) == kept
        assert kept["movement"] != digest(file, "movement")
        work(returned)
        assert all(proof.ok for proof in prove(returned))


def test_more_rows_than_are_taken_at_a_time(file: Database, engine: Engine) -> None:
    """Each comes once."""
    bay = yard.add_bay()
    with file.transaction():
        for minute in range(2500):
            yard.add_reading(bay, yard.NOW + 60 * minute, 290)
    there = engine.empty()
    move(file, there)
    with opened(there) as other:
        assert tables.Reading.select().count() == 2501
        assert digests(other) == digests(file)


def test_a_digest_sees_any_change(file: Database) -> None:
    """Of one number in one row."""
    before = digest(file, "lot")
    tables.Lot.update(version=7).where(tables.Lot.id == 2).execute()
    assert digest(file, "lot") != before


def test_where_there_is_a_store_already(file: Database, store: Database) -> None:
    """Nothing is mixed."""
    db.initialize(store)
    yard.add_bay()
    before = contents(store)
    db.initialize(file)
    with pytest.raises(NoBackup, match="a store at that address already"):
        move(file, store.database)
    assert contents(store) == before


def test_onto_itself(file: Database) -> None:
    """It is there."""
    with pytest.raises((NoBackup, LockedElsewhere)):
        move(file, file.database)
    assert tables.Movement.select().count() == MOVEMENTS


def test_while_it_is_served(file: Database, engine: Engine) -> None:
    """A hand would go on drawing from the old one."""
    with serving(file), pytest.raises(LockedElsewhere):
        move(file, engine.empty(), patience_s=0.1)


def test_what_does_not_fit_leaves_nothing(file: Database, engine: Engine) -> None:
    """A text that PostgreSQL can't keep: no row is there, and the next try begins anew."""
    there = engine.empty()
    tables.Product.update(name="nul\0").where(tables.Product.id == 1).execute()
    with pytest.raises(Exception, match="NUL"):
        move(file, there)
    tables.Product.update(name="Resin").where(tables.Product.id == 1).execute()
    assert move(file, there).movements == MOVEMENTS


def test_a_signed_job_is_taken_over_whole(file: Database, engine: Engine, tmp_path: Path) -> None:
    """Its rows come before its signature, which then shuts it there as it did here."""
    layup = yard.add_layup()
    job = layup.job
    yard.add_need(job, yard.received(1_000).product, 5)
    tables.LayupProbe.create(layup=layup, bay=layup.bay, on_part=True, **yard.SIGNED)
    tables.Signature.create(job=job, profile="plain", left_open="[]", **yard.SIGNED)
    there, back = engine.empty(), str(tmp_path / "back.sqlite")
    move(file, there)
    with opened(there) as other:
        assert digests(other) == digests(file)
        with pytest.raises(IntegrityError, match="the job is signed"):
            tables.Job.update(title="Another").where(tables.Job.id == job.id).execute()
        move(other, back)
    with opened(back) as returned:
        assert digests(returned) == digests(file)
