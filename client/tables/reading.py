"""Reads a table from a person's file, whatever program wrote it, as text in UTF-8."""

from __future__ import annotations

import sys
from pathlib import Path

from ..exits import Stopped

MOST_BYTES = 64 * 1024 * 1024
"""Largest file that is read; the service takes less text than that."""

_OLD_OR_LOCKED = b"\xd0\xcf\x11\xe0"
_ZIP = b"PK\x03\x04"
_SIGNS = {0xB0: "°", 0xB2: "²", 0xB3: "³", 0xB5: "µ", 0xBC: "¼", 0xBD: "½", 0xBE: "¾", 0xD7: "×"}
"""Bytes of an old western code page that in a logger's file can only be signs of units."""


def read(file: str, sheet: str | None, kind: str) -> tuple[bytes, list[str]]:
    """The table in a file, and notes on how it was read.

    Args:
        file: its path, or `-` for stdin. sheet: which sheet of a workbook, if it has several.
        kind: what the table lists; a sheet of that name is taken.

    Raises:
        Stopped: the file can't be read, is too large, is no text, or is a refused workbook.
    """
    raw = _bytes(file)
    if raw.startswith(_OLD_OR_LOCKED):
        raise Stopped(
            f"{file} has a password, or is a workbook in an old format.",
            "Save it as .xlsx without a password, or as CSV in UTF-8.",
        )
    if raw.startswith(_ZIP):
        from .workbook import table  # late: only a workbook needs the library

        return table(raw, file, sheet, kind)
    if sheet is not None:
        raise Stopped(f"{file} is no workbook, so it has no sheets.", "Leave --sheet out.")
    return text(raw, file)


def _bytes(file: str) -> bytes:
    try:
        with sys.stdin.buffer if file == "-" else Path(file).open("rb") as source:
            raw = source.read(MOST_BYTES + 1)
    except OSError as error:
        raise Stopped(f"{file} can't be read: {error.strerror}.") from error
    if len(raw) > MOST_BYTES:
        raise Stopped(
            f"{file} is larger than {MOST_BYTES // 1024**2} MiB.", "Split it into several files."
        )
    return raw


def text(raw: bytes, file: str) -> tuple[bytes, list[str]]:
    """The text in UTF-8; of another code page only signs of units are understood."""
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        try:
            return raw.decode("utf-16").encode(), []
        except UnicodeError as error:
            raise Stopped(f"{file} is no text: {error}.", "Save it as CSV in UTF-8.") from error
    try:
        raw.decode("utf-8")
    except UnicodeDecodeError as error:
        if set(raw[error.start :]) - set(range(128)) - _SIGNS.keys():
            where = raw.count(b"\n", 0, error.start) + 1
            raise Stopped(
                f"{file} is not in UTF-8: see line {where}.",
                "Save it as CSV in UTF-8, or as .xlsx.",
            ) from error
        signs = "".join(sorted({_SIGNS[byte] for byte in raw if byte in _SIGNS}))
        return raw.decode("latin-1").encode(), [f"Not in UTF-8: {signs} read as signs of units."]
    return raw, []
