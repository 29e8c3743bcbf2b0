"""A backup: one whole moment of a store, proved, while others write."""

from __future__ import annotations

import os
import stat
import subprocess
import sys
from pathlib import Path

import pytest
from cureyard_service.store import tables
from cureyard_service.store.engine.database import opened
from cureyard_service.store.engine.faults import NoBackup
from cureyard_service.store.upkeep.backup import back_up
from cureyard_service.store.upkeep.proofs import prove
from cureyard_service.store.upkeep.restore import restore
from peewee import Database

from ...bare import drop_guard, raw
from ...engines import Engine
from ...waiting import HANGS_S, until
from .. import sample_yard as yard
from ..keeping import MOVEMENTS, but_for_its_entry, contents, put_on_path, work


@pytest.fixture(autouse=True)
def _programs(engine: Engine, monkeypatch: pytest.MonkeyPatch) -> None:
    put_on_path(engine, monkeypatch)


def test_all_of_it_is_in_the_file(store: Database, engine: Engine, tmp_path: Path) -> None:
    """Every row, for its owner's eyes alone, and nothing else is left in the folder."""
    work(store)
    made = back_up(store, tmp_path / "yard.backup")
    assert (made.movements, made.findings) == (MOVEMENTS, ())
    assert os.listdir(tmp_path) == ["yard.backup"]
    assert stat.S_IMODE((tmp_path / "yard.backup").stat().st_mode) == 0o600
    there = engine.empty()
    restore(there, tmp_path / "yard.backup", now=yard.NOW, hand=yard.HAND)
    with opened(there) as other:
        rows = contents(other)
    assert [row[2] for row in rows["logbook"]] == ["store, from yard.backup"]
    assert but_for_its_entry(rows) == contents(store)


WRITER = """
import sys, time
from cureyard_service.store.stock import ledger
from cureyard_service.store.engine.database import open_store
from cureyard_service.store.yard.hands import Hand

open_store(sys.argv[1])
while True:
    ledger.post(int(sys.argv[2]), "draw", -1, at=0, now=0, hand=Hand("Rui", False))
    print("drawn", flush=True)
    time.sleep(0.01)
"""


def test_while_others_write(store: Database, engine: Engine, tmp_path: Path) -> None:
    """It is one moment: its books hold, writers go on meanwhile, and none is turned away."""
    lots = [yard.received(10**9) for _ in range(3)]
    writers = [
        subprocess.Popen(
            [sys.executable, "-c", WRITER, store.database, str(lot.id)],
            stdout=subprocess.PIPE, text=True,
        )
        for lot in lots
    ]  # fmt: skip
    for writer in writers:
        assert writer.stdout is not None
        assert writer.stdout.readline() == "drawn\n"
    made = []
    for number in range(3):
        made.append(back_up(store, tmp_path / f"{number}.backup"))
        until(lambda: tables.Movement.select().count() > made[-1].movements, "another draw")
    assert [writer.poll() for writer in writers] == [None] * 3, "a writer was refused"
    for writer in writers:
        writer.kill()
        writer.communicate(timeout=HANGS_S)
    assert all(each.findings == () for each in made)
    counts = [each.movements for each in made]
    assert counts == sorted(set(counts)), "nothing was written between two backups"
    there = engine.empty()
    done = restore(there, tmp_path / "1.backup", now=yard.NOW, hand=yard.HAND)
    assert (done.account.movements, done.account.findings) == (counts[1], ())


def test_a_file_that_is_there_is_left_alone(store: Database, tmp_path: Path) -> None:
    """Whatever it is: nothing is overwritten."""
    file = tmp_path / "yard.backup"
    file.write_text("the only copy")
    with pytest.raises(NoBackup, match="exists already"):
        back_up(store, file)
    assert file.read_text() == "the only copy"
    assert os.listdir(tmp_path) == ["yard.backup"]


def test_a_folder_that_is_not_there(store: Database, tmp_path: Path) -> None:
    """It says so, and makes none."""
    with pytest.raises(NoBackup, match="can't be made"):
        back_up(store, tmp_path / "nowhere" / "yard.backup")
    assert os.listdir(tmp_path) == []


def test_broken_books_are_backed_up_and_said_to_be_broken(store: Database, tmp_path: Path) -> None:
    """Better a copy of them than none."""
    lot = yard.received(500)
    with raw(store) as bare:
        bare.execute("UPDATE lot SET on_hand = 499")
    made = back_up(store, tmp_path / "yard.backup")
    assert any(f"lot {lot.id} " in finding for finding in made.findings)
    assert (tmp_path / "yard.backup").stat().st_size > 0


@pytest.mark.only_on("sqlite")
def test_a_damaged_page_makes_no_backup(store: Database, tmp_path: Path) -> None:
    """SQLite looks at every page of the copy; a page that nothing else reads is found too."""
    work(store)
    (root,) = store.execute_sql(
        "SELECT rootpage FROM sqlite_master WHERE name = 'need_job'"
    ).fetchone()
    store.close()
    with Path(store.database).open("r+b") as file:
        file.seek((root - 1) * 4096 + 8)
        file.write(b"\xff" * 200)
    with pytest.raises(NoBackup, match="damaged"):
        back_up(store, tmp_path / "yard.backup")
    assert os.listdir(tmp_path) == []


@pytest.mark.only_on("postgresql")
def test_without_its_programs(
    store: Database, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It names what is missing; no file is left."""
    monkeypatch.setenv("PATH", str(tmp_path))
    with pytest.raises(NoBackup, match="pg_dump is not on the PATH"):
        back_up(store, tmp_path / "yard.backup")
    assert os.listdir(tmp_path) == []


@pytest.mark.only_on("postgresql")
def test_what_its_program_says_is_told(
    store: Database, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A program that fails is quoted; and of the address it sees nothing in its arguments."""
    (tmp_path / "bin").mkdir()
    program = tmp_path / "bin" / "pg_dump"
    program.write_text(
        f'#!/bin/sh\necho "$@" > {tmp_path}/arguments\nenv > {tmp_path}/environment\n'
        "echo 'pg_dump: error: aborting because of server version mismatch' >&2\nexit 1\n"
    )
    program.chmod(0o755)
    monkeypatch.setenv("PATH", f"{program.parent}{os.pathsep}{os.environ['PATH']}")
    with (
        opened(f"{store.database}&password=s3cret") as same,
        pytest.raises(NoBackup, match="version mismatch"),
    ):
        back_up(same, tmp_path / "yard.backup")
    assert "s3cret" not in (tmp_path / "arguments").read_text()
    assert "PGPASSWORD=s3cret" in (tmp_path / "environment").read_text()
    assert not (tmp_path / "yard.backup").exists()


def test_a_missing_guard_is_told(store: Database, tmp_path: Path) -> None:
    """The proofs of the copy are those of the store."""
    with raw(store) as bare:
        drop_guard(bare, store, "movement", "movement_no_update")
    made = back_up(store, tmp_path / "yard.backup")
    assert (
        made.findings
        == tuple(finding for proof in prove(store) for finding in proof.findings)
        != ()
    )
