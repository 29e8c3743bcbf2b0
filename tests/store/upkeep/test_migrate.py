"""Tables brought forward and back with the data in place, by one process at a time."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from cureyard_migrations.dialect import on_sqlite
from cureyard_service.store import tables
from cureyard_service.store.engine import versions
from cureyard_service.store.engine.database import open_store
from cureyard_service.store.engine.faults import (
    LockedElsewhere,
    MigrationFailed,
    NotAStore,
    WrongVersion,
)
from cureyard_service.store.engine.locks import alone, serving
from cureyard_service.store.upkeep.drift import drift
from cureyard_service.store.upkeep.migrate import migrate_back, migrate_forward, schema_version
from cureyard_service.store.upkeep.seals import every_row_is_as_it_was_sealed
from cureyard_service.store.yard import settings
from peewee import Database, DatabaseError, IntegrityError

from ...engines import Engine
from ...waiting import HANGS_S
from .. import sample_yard as yard

LATER = """
def up(migrator, db):
    db.execute_sql("ALTER TABLE bay ADD COLUMN colour TEXT")


def down(migrator, db):
    db.execute_sql("ALTER TABLE bay DROP COLUMN colour")
"""

HALF_WAY = """
def up(migrator, db):
    db.execute_sql("ALTER TABLE bay ADD COLUMN colour TEXT")
    raise ZeroDivisionError
"""

SLEEPING = """
import time

def up(migrator, db):
    db.execute_sql("ALTER TABLE bay ADD COLUMN colour TEXT")
    print("half-way", flush=True)
    time.sleep(600)
"""

ORPHANING = """
def up(migrator, db):
    db.execute_sql("DELETE FROM product")
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A copy of the migrations, to add one to."""
    copy = tmp_path / "migrations"
    shutil.copytree(versions.MIGRATIONS, copy, ignore=shutil.ignore_patterns("__pycache__"))
    return copy


def contents(store: Database) -> dict[str, list[tuple[object, ...]]]:
    """Every row of every table of ours."""
    return {
        model._meta.table_name: store.execute_sql(
            f"SELECT * FROM {model._meta.table_name} ORDER BY id"
        ).fetchall()
        for model in tables.MODELS
    }


def test_the_tables_are_the_models(store: Database) -> None:
    """What the migrations built is what the models say."""
    assert drift(store) == []


def test_a_store_up_to_date_is_left_alone(store: Database) -> None:
    """The second start migrates nothing."""
    assert migrate_forward(store) == []
    assert schema_version(store) == versions.code_version() > 0


def test_forward_and_back_with_the_data_in_place(store: Database, folder: Path) -> None:
    """A later migration and its undoing leave every row, and the guards, as they were."""
    yard.post(yard.received(1_000), "draw", -10)
    yard.add_bay()
    before = contents(store)
    (folder / "9000_colour.py").write_text(LATER)
    assert migrate_forward(store, folder) == ["9000_colour"]
    assert schema_version(store) == 9000
    assert tables.Movement.select().count() == 2
    assert migrate_back(store, versions.code_version(), folder) == ["9000_colour"]
    assert contents(store) == before
    assert drift(store) == []


def test_needs_are_let_go_by_going_back(store: Database) -> None:
    """Before needs there was the ledger: it stays, and going forward again needs nothing."""
    lot = yard.received(1_000)
    yard.add_need(yard.add_job(), lot.product, 400)
    assert migrate_back(store, 1)[-1] == "0002_needs"
    assert "need" not in store.get_tables()
    (kept,) = store.execute_sql("SELECT on_hand FROM lot").fetchone()
    assert kept == 1_000
    migrate_forward(store)
    assert drift(store) == []
    assert (tables.Need.select().count(), tables.Movement.select().count()) == (0, 1)


def test_facts_of_a_pot_move_to_the_pot_and_back(store: Database) -> None:
    """Before, the weakest pot's percent and the slowest lot's factor stood for all of a layup."""
    resin, peroxide, micros = (yard.received(9_000) for _ in range(3))
    mixed, stated = yard.add_layup(), yard.add_layup()
    store.execute_sql(f"UPDATE layup SET stated_percent_ppm = 15000 WHERE id = {stated.id}")
    pots = [yard.add_batch(resin, peroxide) for _ in range(2)]
    for pot in pots:
        tables.LayupBatch.create(layup=mixed, batch=pot, **yard.SIGNED)
    yard.post(micros, "draw", -10, batch=pots[1].id)
    filler = micros.product_id
    store.execute_sql(f"UPDATE product SET role = 'filler', effects = '' WHERE id = {filler}")
    migrate_back(store, 9)
    kept = "SELECT percent_ppm, factor_ppm, fillers FROM layup ORDER BY id"
    assert store.execute_sql(kept).fetchall() == [(20_000, 1_000_000, 0), (15_000, 1_000_000, 0)]
    migrate_forward(store)
    assert drift(store) == []
    rows = list(tables.Layup.select().order_by(tables.Layup.id))
    assert [row.stated_percent_ppm for row in rows] == [None, 15_000]
    filled = [pot.filled for pot in tables.Batch.select().order_by(tables.Batch.id)]
    assert filled == [False, True]
    migrate_back(store, 9)
    assert store.execute_sql(kept).fetchall()[0] == (20_000, 1_000_000, 1)
    with pytest.raises(DatabaseError, match="append-only"):
        store.execute_sql("UPDATE batch SET resin_mg = 1")


def test_probes_are_let_go_by_going_back(store: Database) -> None:
    """A sensor's token is no person's; what was doubted is taken back, and the rest counts."""
    bay = yard.add_bay()
    first, then = yard.NOW + 60, yard.NOW + 600
    yard.add_reading(bay, yard.NOW, 290)
    yard.add_reading(bay, first, 330, probe=True, doubt="jumped", level_from=first)
    yard.add_reading(bay, then, 310, probe=True, doubt="jumped", level_from=then)
    yard.add_reading(bay, then + 60, 310, probe=True, level_from=then)
    people = {"Ada": ("admin", None), "Probe": ("sensor", bay), "Gone": ("sensor", bay)}
    for number, (name, (role, of)) in enumerate(people.items()):
        hashes = {"secret_hash": f"{number}" * 64, "page_hash": f"{number + 5}" * 64}
        token = tables.Token.create(name=name, role=role, bay=of, **hashes, **yard.SIGNED)
    tables.TokenEnd.create(token=token, **yard.SIGNED)
    with pytest.raises(IntegrityError):
        tables.Token.create(
            name="No bay", role="sensor", secret_hash="e" * 64, page_hash="f" * 64, **yard.SIGNED
        )
    assert migrate_back(store, 22)[-1] == "0023_probes"
    kept = store.execute_sql("SELECT name, role FROM token").fetchall()
    assert [tuple(row) for row in kept] == [("Ada", "admin")]
    migrate_forward(store)
    assert drift(store) == []
    assert [row.reading.at for row in tables.Withdrawal.select()] == [first]
    assert tables.Reading.select().count() == 4
    for table in ("token", "reading", "withdrawal"):
        with pytest.raises(DatabaseError, match="append-only"):
            store.execute_sql(f"UPDATE {table} SET who = 'X'")


def test_signatures_are_let_go_by_going_back(store: Database) -> None:
    """The job stays as it was, and is written to again; forward again nobody signed it."""
    layup = yard.add_layup()
    seen: dict[str, Any] = {"layup": layup, "kind": "hardness", "at": yard.NOW, "value": 40}
    tables.LayupObservation.create(**seen, scale="barcol_935", met="off_edges", **yard.SIGNED)
    tables.Signature.create(job=layup.job, profile="plain", left_open="[]", **yard.SIGNED)
    with pytest.raises(IntegrityError, match="the job is signed"):
        tables.LayupObservation.create(**seen, **yard.SIGNED)
    assert migrate_back(store, 27)[-2:] == ["0029_signatures", "0028_acceptance"]
    store.execute_sql("UPDATE job SET title = 'Another'")
    migrate_forward(store)
    assert drift(store) == []
    assert tables.Signature.select().count() == 0
    (kept,) = tables.LayupObservation.select()
    assert (kept.value, kept.scale, kept.met) == (40, None, None)
    assert every_row_is_as_it_was_sealed(store) == ["signature 1 is gone"]
    tables.LayupObservation.create(**seen, **yard.SIGNED)


def test_a_lots_dates_are_kept_by_going_back(store: Database) -> None:
    """Who gave them is forgotten; the rest of its history, and its guards, are not."""
    lot = yard.received(1_000)
    for kind in ("opened", "dated", "held"):
        tables.LotEvent.create(lot=lot, kind=kind, at=yard.NOW, **yard.SIGNED)
    assert migrate_back(store, 12)[-1] == "0013_dated_lots"
    kept = "SELECT id, kind FROM lot_event ORDER BY id"
    assert store.execute_sql(kept).fetchall() == [(1, "opened"), (3, "held")]
    with pytest.raises(IntegrityError):
        tables.LotEvent.create(lot=lot, kind="dated", at=yard.NOW, **yard.SIGNED)
    with pytest.raises(IntegrityError, match="append-only"):
        tables.LotEvent.update(who="Nobody").execute()
    migrate_forward(store)
    assert drift(store) == []
    assert tables.LotEvent.create(lot=lot, kind="dated", at=yard.NOW, **yard.SIGNED).id > 3
    with pytest.raises(IntegrityError, match="append-only"):
        tables.LotEvent.delete().execute()


def test_a_yard_that_never_said_how_sure_wants_95(store: Database) -> None:
    """Going back forgets what it said; 90 to 99 are kept, and nothing else."""
    settings.seed(
        zone="UTC", units="metric", currency="EUR", address="", seeded_at=yard.NOW, identity="y"
    )
    settings.change(sureness=99)
    assert migrate_back(store, 18)[-1] == "0019_sureness"
    migrate_forward(store)
    assert drift(store) == []
    assert settings.settings().sureness == 95
    for outside in (89, 100):
        with pytest.raises(IntegrityError), store.atomic():
            store.execute_sql(f"UPDATE yard SET sureness = {outside}")
    assert settings.settings().sureness == 95


def test_what_was_covered_wet_is_watched_again(store: Database) -> None:
    """Also in a store of before: last felt wet and covered, nobody said what became of it."""
    wet, gelled, upper = yard.add_layup(), yard.add_layup(), yard.add_layup()
    migrate_back(store, 10)
    for lower, words in ((wet, ("gelled", "not_gelled")), (gelled, ("not_gelled", "gelled"))):
        for minute, kind in enumerate(words):
            tables.LayupObservation.create(
                layup=lower, kind=kind, at=yard.NOW + minute, **yard.SIGNED
            )
        store.execute_sql(f"UPDATE layup SET closed_at = {yard.NOW + 9} WHERE id = {lower.id}")
    for lower in (wet, gelled):
        store.execute_sql(f"UPDATE layup SET over_id = {lower.id} WHERE id = {upper.id}")
        migrate_forward(store)
        rows = dict(store.execute_sql("SELECT id, closed_at FROM layup").fetchall())
        ended = dict(store.execute_sql("SELECT id, ended_at FROM layup").fetchall())
        assert rows[lower.id] == (None if lower == wet else yard.NOW + 9)
        assert ended[lower.id] == yard.NOW + 9
        migrate_back(store, 10)
        rows = dict(store.execute_sql("SELECT id, closed_at FROM layup").fetchall())
        assert rows[lower.id] == yard.NOW + 9
    migrate_forward(store)
    assert drift(store) == []


def test_back_to_nothing_and_forward_again(store: Database) -> None:
    """Before the first store there was no table; after it all are there again."""
    migrate_back(store, 0)
    assert set(store.get_tables()) - {"sqlite_sequence"} == {"schema_migration"}
    assert schema_version(store) == 0
    migrate_forward(store)
    assert drift(store) == []


def test_a_migration_that_fails_leaves_the_store_as_it_was(store: Database, folder: Path) -> None:
    """It is applied whole or not at all, and that is said."""
    (folder / "9000_colour.py").write_text(HALF_WAY)
    with pytest.raises(MigrationFailed, match="undone"):
        migrate_forward(store, folder)
    assert schema_version(store) == versions.code_version()
    assert drift(store) == []
    yard.add_bay()


def test_a_migration_that_is_killed_leaves_the_store_as_it_was(
    store: Database, folder: Path
) -> None:
    """SIGKILL half-way: nobody is locked out, no column is there, and the next try goes through."""
    (folder / "9000_colour.py").write_text(SLEEPING)
    migrate = (
        "import pathlib, sys; from cureyard_service.store.engine.database import open_store;"
        "from cureyard_service.store.upkeep.migrate import migrate_forward;"
        "migrate_forward(open_store(sys.argv[1]), pathlib.Path(sys.argv[2]))"
    )
    killed = subprocess.Popen(
        [sys.executable, "-c", migrate, store.database, str(folder)],
        stdout=subprocess.PIPE, text=True,
    )  # fmt: skip
    assert killed.stdout is not None
    assert killed.stdout.readline() == "half-way\n"
    killed.kill()
    killed.communicate()
    assert schema_version(store) == versions.code_version()
    assert drift(store) == []
    (folder / "9000_colour.py").write_text(LATER)
    assert migrate_forward(store, folder) == ["9000_colour"]


@pytest.mark.only_on("sqlite")
def test_rows_orphaned_by_a_migration_are_found(store: Database, folder: Path) -> None:
    """The runner turns foreign keys off meanwhile, so they are checked after it."""
    yard.received(10)
    (folder / "9000_orphans.py").write_text(ORPHANING)
    with pytest.raises(NotAStore, match="lot"):
        migrate_forward(store, folder)


@pytest.mark.only_on("postgresql")
def test_a_migration_that_would_orphan_rows_is_undone(store: Database, folder: Path) -> None:
    """PostgreSQL keeps its foreign keys on throughout."""
    yard.received(10)
    (folder / "9000_orphans.py").write_text(ORPHANING)
    with pytest.raises(MigrationFailed, match="foreign key"):
        migrate_forward(store, folder)
    assert schema_version(store) == versions.code_version()
    assert tables.Product.select().count() == 1


def test_a_store_of_a_newer_program_is_refused(store: Database, folder: Path) -> None:
    """An older program neither migrates nor opens it for work, and touches nothing."""
    (folder / "9000_colour.py").write_text(LATER)
    migrate_forward(store, folder)
    before = contents(store)
    with pytest.raises(WrongVersion, match="9000"):
        migrate_forward(store)
    with pytest.raises(WrongVersion, match="9000"):
        migrate_back(store, 0)
    assert contents(store) == before


def test_no_migration_while_a_server_has_the_store(store: Database, folder: Path) -> None:
    """Servers share it; whoever would change the tables waits, then is refused."""
    (folder / "9000_colour.py").write_text(LATER)
    with serving(store), serving(store), pytest.raises(LockedElsewhere):
        migrate_forward(store, folder, patience_s=0.1)
    assert migrate_forward(store, folder) == ["9000_colour"]


def test_no_server_starts_during_a_migration(store: Database) -> None:
    """The other way round."""
    with alone(store), pytest.raises(LockedElsewhere), serving(store, patience_s=0.1):
        pass


def test_many_programs_may_start_on_a_new_store_at_once(engine: Engine) -> None:
    """Each finds the store whole, and it was built once."""
    url = engine.empty()
    start = (
        "import sys; from cureyard_service.store.engine.database import open_store;"
        "from cureyard_service.store.upkeep.migrate import migrate_forward;"
        "print(len(migrate_forward(open_store(sys.argv[1]))))"
    )
    started = [
        subprocess.Popen([sys.executable, "-c", start, url], stdout=subprocess.PIPE, text=True)
        for _ in range(4)
    ]
    applied = [process.communicate(timeout=HANGS_S)[0].strip() for process in started]
    every = len(list(versions.MIGRATIONS.glob("[0-9]*_*.py")))
    assert sorted(applied) == ["0", "0", "0", str(every)]


PLANTED = {
    "CREATE TABLE extra (id INTEGER)": "table extra is in the store alone",
    "DROP TABLE answer": "table answer is in the models alone",
    "ALTER TABLE bay ADD COLUMN colour TEXT": "table bay, column colour TEXT or nothing",
    "ALTER TABLE bay DROP COLUMN title": "table bay, column title TEXT is so in the models",
    "DROP INDEX reading_first": "table reading, unique bay_id, at is so in the models",
    "CREATE UNIQUE INDEX one ON lot (bay_id)": "table lot, unique bay_id is so in the store",
}


@pytest.mark.parametrize("change", PLANTED)
def test_drift_is_found(store: Database, change: str) -> None:
    """A table, column or key that only one side has is named."""
    store.execute_sql(change)
    number = "INTEGER" if on_sqlite(store) else "BIGINT"
    assert any(PLANTED[change].format(number=number) in difference for difference in drift(store))


@pytest.mark.only_on("sqlite")
def test_a_column_of_another_kind_is_drift(store: Database) -> None:
    """Its type, whether it may be empty, and where it points are compared too."""
    store.execute_sql("DROP TABLE layup_move")
    store.execute_sql(
        "CREATE TABLE layup_move (id INTEGER PRIMARY KEY, layup_id INTEGER NOT NULL,"
        " bay_id INTEGER REFERENCES bay (id), at TEXT NOT NULL, recorded_at INTEGER NOT NULL,"
        " who TEXT NOT NULL, verified INTEGER NOT NULL) STRICT"
    )
    found = " ".join(drift(store))
    for difference in ("at TEXT", "bay_id INTEGER or nothing → bay", "layup_id INTEGER is so"):
        assert difference in found


def test_every_migration_is_numbered_apart() -> None:
    """Two of one number would be applied in an order that nobody chose."""
    names = [path.stem for path in versions.MIGRATIONS.glob("[0-9]*_*.py")]
    numbers = [name.partition("_")[0] for name in names]
    assert len(set(numbers)) == len(numbers) > 0
    assert all(len(number) == 4 for number in numbers)


def test_a_fresh_store_is_at_no_version(tmp_path: Path) -> None:
    """Opening alone makes no table."""
    store = open_store(str(tmp_path / "new.sqlite"))
    assert (schema_version(store), store.get_tables()) == (0, [])
    store.close()
