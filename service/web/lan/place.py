"""What is kept beside the store for the yard's network: its key, its certificate, its addresses."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from hashlib import sha256
from pathlib import Path
from typing import NamedTuple
from urllib.parse import urlsplit

import platformdirs

from ...store.engine.database import sqlite_path
from ...store.engine.faults import LockedElsewhere
from ...store.engine.locks import alone_with, shared_with

CERTIFICATE, KEY = "certificate.pem", "key.pem"


class Served(NamedTuple):
    """Where the yard is served to its network, and the fingerprint of its certificate."""

    address: str
    fingerprint: str


def folder(database: str) -> Path:
    """The folder of a store's key and certificate; it may not exist yet.

    It is beside an SQLite file; for a store on PostgreSQL it is in the user's data folder, one for
    each database.
    """
    path = sqlite_path(database)
    if path is not None:
        return path.with_name(f"{path.name}.lan")
    parts = urlsplit(database)
    name = sha256(f"{parts.hostname}:{parts.port}{parts.path}".encode()).hexdigest()[:16]
    return platformdirs.user_data_path("cureyard", appauthor=False) / "lan" / name


def served(database: str) -> Served | None:
    """Where a running service serves a store to its network; of several the last that began.

    A service that was killed leaves its address behind, and no lock.
    """
    files = sorted(folder(database).glob("address-*.txt"), key=_written_at, reverse=True)
    return next((told for file in files if _is_held(file) and (told := _read(file))), None)


@contextmanager
def told(where: Path, what: Served) -> Iterator[None]:
    """Tell the programs on this machine, for as long as it is so, where the store is served."""
    file = _file(where, what)
    tell(where, what)
    try:
        with shared_with(file):
            yield
    finally:
        file.unlink(missing_ok=True)


def tell(where: Path, what: Served) -> None:
    """Write down where a store is served now."""
    _file(where, what).write_text(f"{what.address}\n{what.fingerprint}\n", encoding="utf-8")


def _file(where: Path, what: Served) -> Path:
    return where / f"address-{urlsplit(what.address).port}.txt"


def _is_held(file: Path) -> bool:
    try:
        with alone_with(file, 0):
            return False
    except LockedElsewhere:
        return True


def _written_at(file: Path) -> float:
    try:
        return file.stat().st_mtime
    except OSError:
        return 0.0


def _read(file: Path) -> Served | None:
    try:
        address, fingerprint = file.read_text("utf-8").split()
    except (OSError, ValueError):
        return None
    return Served(address, fingerprint)
