"""Photographs through a backup, a restore, a move to the other database and a proof.

`PHOTOGRAPHS=500 python -m pytest tests/store/upkeep/test_photographs.py -s` says how long each
takes for a yard's photographs of some years, and how much memory.
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from cureyard_service.store import tables
from cureyard_service.store.engine.database import opened
from cureyard_service.store.upkeep.backup import back_up
from cureyard_service.store.upkeep.proofs import prove
from cureyard_service.store.upkeep.restore import restore
from cureyard_service.store.upkeep.transfer import move
from peewee import Database

from ...engines import Engine
from .. import sample_yard as yard
from ..keeping import put_on_path

MANY = int(os.environ.get("PHOTOGRAPHS", "100"))
SIZE_BYTES = 300_000


@pytest.fixture(autouse=True)
def _programs(engine: Engine, monkeypatch: pytest.MonkeyPatch) -> None:
    put_on_path(engine, monkeypatch)


@pytest.fixture
def album(store: Database) -> Database:
    """A yard with many photographs, one of which was taken back."""
    job = yard.add_job()
    with store.transaction():
        for _ in range(MANY):
            last = yard.add_photograph(SIZE_BYTES, job=job)
        tables.Withdrawal.create(photograph=last, reason="a slip", **yard.SIGNED)
    return store


@contextmanager
def timed(what: str, store: Database) -> Iterator[None]:
    """Say how long something took."""
    begun = time.perf_counter()
    yield
    took = time.perf_counter() - begun
    print(f"\n{what} of {MANY} on {type(store).__name__}: {took:.1f} s")


def digests() -> list[tuple[int, str]]:
    """Each photograph's id and what its bytes come to, found anew."""
    rows = tables.Photograph.select().order_by(tables.Photograph.id).iterator()
    return [(row.id, row.sha256) for row in rows if row.size_bytes == len(row.jpeg)]


def test_a_backup_has_them_all(album: Database, engine: Engine, tmp_path: Path) -> None:
    """And a restore of it; the file is no larger than twice the pictures."""
    before = digests()
    file = tmp_path / "yard.backup"
    with timed("backup", album):
        assert back_up(album, file).findings == ()
    assert file.stat().st_size < 2.2 * MANY * SIZE_BYTES + 2**20
    there = engine.empty()
    with timed("restore", album):
        restore(there, file, now=yard.NOW, hand=yard.HAND)
    with opened(there):
        assert digests() == before
        assert tables.Withdrawal.select().count() == 1


def test_a_proof_reads_each(album: Database) -> None:
    """A few at a time."""
    with timed("prove", album):
        assert all(proof.ok for proof in prove(album))


@pytest.mark.only_on("postgresql")
def test_they_move_to_the_other_database_and_back(
    album: Database, engine: Engine, tmp_path: Path
) -> None:
    """Byte for byte."""
    before, file, back = digests(), str(tmp_path / "yard.sqlite"), engine.empty()
    with timed("move from", album):
        move(album, file)
    with opened(file) as other:
        assert digests() == before
        with timed("move to", album):
            move(other, back)
    with opened(back) as again:
        assert digests() == before
        assert yard.add_photograph(job=1).id == MANY + 1
        assert all(proof.ok for proof in prove(again))


PEAK = """
import re, sys
from pathlib import Path
from cureyard_service.store.engine.database import open_store
from cureyard_service.store.upkeep.backup import back_up
from cureyard_service.store.upkeep.transfer import move

def peak():
    return int(re.search(r"VmHWM:\\s+(\\d+)", open("/proc/self/status").read())[1]) // 1024

store = open_store(sys.argv[1])
first = peak()
if sys.argv[2] == "move":
    move(store, sys.argv[3])
else:
    back_up(store, Path(sys.argv[3]))
print(peak() - first)
"""
MOST_MIB = 90
"""Of memory that a backup or a move may take beyond what the program has; 31 were seen."""


@pytest.mark.skipif(sys.platform != "linux", reason="counts memory as Linux does")
@pytest.mark.parametrize("what", ["back up", "move"])
def test_memory_does_not_grow_with_their_number(
    album: Database, engine: Engine, tmp_path: Path, what: str
) -> None:
    """A page of them is held at a time, of whichever database."""
    url = album.database
    to = engine.empty() if what == "move" else str(tmp_path / "yard.backup")
    if what == "move" and engine.name == "sqlite":
        to = str(tmp_path / "other.sqlite")
    album.close()
    done = subprocess.run(
        [sys.executable, "-c", PEAK, url, what, to], capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    grown = int(re.findall(r"-?\d+", done.stdout)[-1])
    print(f"\n{what}: {grown} MiB")
    assert grown < MOST_MIB
