"""A backup's checksum: no bit is turned unnoticed, and a backup without one is still a backup."""

from __future__ import annotations

import hashlib
import random
from collections.abc import Iterator
from pathlib import Path

import pytest
from cureyard_service.store.engine.database import db, opened
from cureyard_service.store.engine.faults import NoBackup
from cureyard_service.store.upkeep import checksum
from cureyard_service.store.upkeep.backup import back_up
from cureyard_service.store.upkeep.restore import Restored, look, restore
from peewee import Database

from ...engines import Engine
from .. import sample_yard as yard
from ..keeping import MOVEMENTS, but_for_its_entry, contents, put_on_path, work

FLIPS = 1000
IN_THE_LINE = 40
"""How many of them are in the checksum's own line, which is a small part of a file."""


@pytest.fixture
def made(
    store: Database, engine: Engine, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> Iterator[Path]:
    """A backup of a store with a few rows of each kind."""
    put_on_path(engine, monkeypatch)
    work(store)
    file = tmp_path / "yard.backup"
    back_up(store, file)
    yield file
    db.close()


def put(engine: Engine, file: Path) -> tuple[Restored, dict[str, list[tuple[object, ...]]]]:
    """A backup restored where there was no store: what came of it, and its rows."""
    there = engine.empty()
    done = restore(there, file, now=yard.NOW, hand=yard.HAND)
    with opened(there) as other:
        rows = but_for_its_entry(contents(other))  # which says from where it came
    return done, rows


def flip(file: Path, at: int, bit: int) -> None:
    """Turn one bit of a file."""
    with file.open("r+b") as opened_file:
        opened_file.seek(at)
        (byte,) = opened_file.read(1)
        opened_file.seek(at)
        opened_file.write(bytes([byte ^ 1 << bit]))


def test_the_line_is_what_another_program_reckons(made: Path) -> None:
    """As `sha256sum` would, over all before the last line."""
    whole = made.read_bytes()
    content, line = whole[: -checksum.LENGTH], whole[-checksum.LENGTH :]
    assert line.split()[-1].decode() == hashlib.sha256(content).hexdigest()
    assert checksum.is_sealed(made)


def test_a_turned_bit_is_noticed_or_harmless(made: Path, engine: Engine) -> None:
    """A thousand, each alone: refused, or in the line itself, and then the rows are the same."""
    chance = random.Random(20_261_128)
    size = made.stat().st_size
    body, line = range(size - checksum.LENGTH), range(size - checksum.LENGTH, size)
    _, rows = put(engine, made)
    refused, harmless = 0, []
    for number in range(FLIPS):
        at, bit = chance.choice(line if number < IN_THE_LINE else body), chance.randrange(8)
        flip(made, at, bit)
        try:
            assert not checksum.is_sealed(made)
            assert at in line
            harmless.append((at, bit))
        except NoBackup:
            refused += 1
        flip(made, at, bit)
    assert refused + len(harmless) == FLIPS
    assert refused >= FLIPS - IN_THE_LINE
    for at, bit in harmless[:3]:
        flip(made, at, bit)
        done, found = put(engine, made)
        flip(made, at, bit)
        assert not done.sealed
        assert found == rows
    assert checksum.is_sealed(made)


def test_it_is_refused_by_a_look_and_a_restore(made: Path, engine: Engine, store: Database) -> None:
    """In words that name the file; the store stays as it was, and nothing is left beside it."""
    flip(made, made.stat().st_size // 2, 3)
    db.close()
    for act in (look, lambda url, file: restore(url, file, now=yard.NOW, hand=yard.HAND)):
        with pytest.raises(NoBackup, match="not as it was when it was made") as caught:
            act(store.database, made)
        assert str(made) in str(caught.value)
    with opened(store.database) as same:
        assert len(contents(same)["movement"]) == MOVEMENTS


def test_one_of_an_earlier_program_is_restored(made: Path, engine: Engine) -> None:
    """It has no line; what came of it says so."""
    done, rows = put(engine, made)
    assert done.sealed
    old = made.with_name("old.backup")
    old.write_bytes(made.read_bytes()[: -checksum.LENGTH])
    done, same = put(engine, old)
    assert not done.sealed
    assert same == rows


@pytest.mark.parametrize("content", [b"", b"x", b"\n" * 200])
def test_what_is_no_backup_has_no_checksum(tmp_path: Path, content: bytes) -> None:
    """However short."""
    file = tmp_path / "short"
    file.write_bytes(content)
    assert not checksum.is_sealed(file)
