"""What is kept beside the store for the yard's network: its key, its certificate, its address."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import NamedTuple

import platformdirs

from ...store.engine.database import sqlite_path
from ...store.engine.faults import LockedElsewhere
from ...store.engine.locks import alone_with, shared_with

CERTIFICATE, KEY, ADDRESS = "certificate.pem", "key.pem", "address.txt"


class Served(NamedTuple):
    """Where the yard is served to its network, and the fingerprint of its certificate."""

    address: str
    fingerprint: str


def folder(database: str) -> Path:
    """The folder of a store's key and certificate; it may not exist yet.

    It is beside an SQLite file; for a store on PostgreSQL it is in the user's data folder.
    """
    path = sqlite_path(database)
    if path is None:
        return platformdirs.user_data_path("cureyard", appauthor=False) / "lan"
    return path.with_name(f"{path.name}.lan")


def served(database: str) -> Served | None:
    """Where a running service serves a store to its network; None if none does.

    A service that was killed leaves its address behind, and no lock.
    """
    file = folder(database) / ADDRESS
    written = _read(file)
    if written is None:
        return None
    try:
        with alone_with(file, 0):
            return None
    except LockedElsewhere:
        return written


@contextmanager
def told(where: Path, what: Served) -> Iterator[None]:
    """Tell the programs on this machine, for as long as it is so, where the store is served."""
    file = where / ADDRESS
    tell(where, what)
    try:
        with shared_with(file):
            yield
    finally:
        written = _read(file)
        if written is not None and written.address == what.address:  # not another service's
            file.unlink(missing_ok=True)


def tell(where: Path, what: Served) -> None:
    """Write down where a store is served now."""
    (where / ADDRESS).write_text(f"{what.address}\n{what.fingerprint}\n", encoding="utf-8")


def _read(file: Path) -> Served | None:
    try:
        address, fingerprint = file.read_text("utf-8").split()
    except (OSError, ValueError):
        return None
    return Served(address, fingerprint)
