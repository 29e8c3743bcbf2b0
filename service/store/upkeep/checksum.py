"""A checksum at the end of a backup's file, over all that comes before it.

It is one line after the database's own content, which SQLite and `pg_restore` pass over: a backup
stays a file that they can read. Backups of earlier programs have no such line.
"""

from __future__ import annotations

import hashlib
import re
import shutil
from pathlib import Path
from typing import IO

from ..engine.faults import NoBackup

LINE = b"\nCureyard backup; SHA-256 of all before this line: %s\n"
LENGTH = len(LINE % (b"0" * 64))
_LINE = re.compile(re.escape(LINE).replace(re.escape(b"%s"), b"([0-9a-f]{64})"))
_PARTS = (b"\nCureyard backup; ", b"SHA-256 of all before", b" before this line: ")
"""What one changed bit, a cut or an addition can't all take from the end of a backup."""
_PIECE = 1024 * 1024


def add(file: Path) -> None:
    """Write a file's checksum at its end."""
    with file.open("r+b") as opened:
        digest = _digest(opened, file.stat().st_size)
        opened.seek(0, 2)
        opened.write(LINE % digest)


def is_sealed(file: Path, told: Path | None = None) -> bool:
    """Whether a file has its checksum at its end, and it is right; an old backup has none.

    Args:
        told: the file to name, where this is a copy of it.

    Raises: NoBackup where it is wrong: the file changed since it was made.
    """
    size = file.stat().st_size - LENGTH
    with file.open("rb") as opened:
        if size < 0:
            return False
        opened.seek(size)
        line = _LINE.fullmatch(opened.read())
        opened.seek(max(size - LENGTH, 0))
        end = opened.read()
        if line is None and not any(part in end for part in _PARTS):
            return False
        opened.seek(0)
        if line is None or _digest(opened, size) != line[1]:
            raise NoBackup(
                f"{told or file} is damaged: it is not as it was when it was made.",
                advice="Use another backup; the store is as it was.",
            )
    return True


def copy(file: Path, to: Path) -> bool:
    """Copy a backup without its checksum, as a store that is written to has none; whether it had.

    Raises: as `is_sealed`, of the copy as it came.
    """
    shutil.copyfile(file, to)
    sealed = is_sealed(to, file)
    if sealed:
        with to.open("r+b") as opened:
            opened.truncate(to.stat().st_size - LENGTH)
    return sealed


def _digest(opened: IO[bytes], size: int) -> bytes:
    hashed = hashlib.sha256()
    while size > 0 and (piece := opened.read(min(_PIECE, size))):
        hashed.update(piece)
        size -= len(piece)
    return hashed.hexdigest().encode()
