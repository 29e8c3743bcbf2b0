"""An SQLite store's file, judged by its first hundred bytes before the library touches it.

The places are those of the SQLite file format: the text that every file begins with, the
page size at 16, the journal mode at 18, the page count at 28, and the application's own
number at 68.
"""

from __future__ import annotations

import sqlite3
import time
from contextlib import closing
from pathlib import Path

from .faults import NotAStore

APPLICATION = 0x43757279  # "Cury"
"""The number that marks a file as one of ours."""

HEADER = 100
PATIENCE_S = 5.0
MAGIC = b"SQLite format 3\0"


def check_or_mark(path: Path) -> None:
    """See that a file is a whole store of ours; make an empty one where there is none.

    Raises: NotAStore, with the file untouched.
    """
    try:
        header, size = _look(path)
        if size == 0:
            _mark(path)
            return
    except (OSError, sqlite3.OperationalError) as error:
        raise NotAStore(
            f"{path} can't be opened: {error}.", advice="Check the path and its permissions."
        ) from error
    _judge(path, header, size)


def check(path: Path) -> None:
    """See that a file is a whole store of ours, and make none.

    Raises: NotAStore, with the file untouched.
    """
    try:
        with path.open("rb") as file:
            header = file.read(HEADER)
        size = path.stat().st_size
    except OSError as error:
        raise NotAStore(f"{path} can't be opened: {error}.", advice="Check the path.") from error
    _judge(path, header, size)


def _look(path: Path) -> tuple[bytes, int]:
    if not path.exists():
        path.parent.mkdir(parents=True, exist_ok=True)
        return b"", 0
    with path.open("rb") as file:
        return file.read(HEADER), path.stat().st_size


def _mark(path: Path) -> None:
    """Mark a new file, while others may be at the same: SQLite does not wait for its journal."""
    until = time.monotonic() + PATIENCE_S
    path.touch(mode=0o600)  # tokens and prices are nobody else's on this machine
    while True:
        try:
            with closing(sqlite3.connect(path, isolation_level=None)) as file:
                file.execute(f"PRAGMA application_id = {APPLICATION}")
                file.execute("PRAGMA journal_mode = WAL")
            return
        except sqlite3.OperationalError as error:
            if "locked" not in str(error) or time.monotonic() > until:
                raise
            time.sleep(0.05)


def _judge(path: Path, header: bytes, size: int) -> None:
    if header[:16] != MAGIC or int.from_bytes(header[68:72]) != APPLICATION:
        raise NotAStore(
            f"{path} is not a store of this program.",
            advice="Name another file; this one was not touched.",
        )
    page = int.from_bytes(header[16:18])
    whole = int.from_bytes(header[28:32]) * (65536 if page == 1 else page)
    log = path.with_name(path.name + "-wal")
    if size < whole and not (log.exists() and log.stat().st_size):
        raise NotAStore(
            f"{path} is cut off: {size} of its {whole} bytes are left.",
            advice="Restore it from a backup; this file was not touched.",
        )
