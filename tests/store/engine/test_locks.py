"""The lock beside an SQLite store: as private as the store itself."""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import pytest
from cureyard_service.store.engine.database import open_store
from cureyard_service.store.engine.locks import alone_with, serving

pytestmark = [
    pytest.mark.only_on("sqlite"),  # PostgreSQL's lock is no file
    pytest.mark.skipif(os.name == "nt", reason="Windows has no such modes"),
]


@contextmanager
def a_generous_umask() -> Iterator[None]:
    """Whatever a login allows others on its new files."""
    before = os.umask(0)
    try:
        yield
    finally:
        os.umask(before)


def mode(file: Path) -> int:
    """Who may do what with a file."""
    return stat.S_IMODE(file.stat().st_mode)


def test_a_new_lock_is_its_owners_alone(tmp_path: Path) -> None:
    """As the store is; nobody else can hold it and so keep the program from its store."""
    store, lock = tmp_path / "yard.sqlite", tmp_path / "yard.sqlite.lock"
    with a_generous_umask(), closing(open_store(str(store))) as database, serving(database):
        assert mode(store) == mode(lock) == 0o600


def test_a_lock_that_is_open_to_others_is_closed_to_them(tmp_path: Path) -> None:
    """An earlier program made it by the login's own rules."""
    lock = tmp_path / "yard.sqlite.lock"
    lock.touch()
    lock.chmod(0o644)
    with alone_with(tmp_path / "yard.sqlite", 1):
        assert mode(lock) == 0o600


def test_a_store_that_a_group_shares_has_a_lock_that_it_shares(tmp_path: Path) -> None:
    """Somebody opened the store to a group: its programs need the lock too."""
    store, lock = tmp_path / "yard.sqlite", tmp_path / "yard.sqlite.lock"
    with closing(open_store(str(store))) as database:
        store.chmod(0o660)
        with serving(database):
            assert mode(lock) == 0o660
