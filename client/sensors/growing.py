"""A logger's file as it grows: its new whole lines; also when it is cut or replaced by another.

A half written last line waits for its end. A file that another took the place of is read to its end
first. What is read twice is there already, so reading anew from the start does no harm.
"""

from __future__ import annotations

import os
from pathlib import Path
from typing import BinaryIO

from ..exits import Stopped

MOST_BYTES = 4 * 1024 * 1024
"""Of new lines that are read in one go."""
LONGEST_LINE = 64 * 1024
REMEMBERED = 256
"""Bytes before the place that was read to: if they are others, it is not the same file any more."""


class Growing:
    """A file that is read again and again."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self._file: BinaryIO | None = None
        self._begin()

    def _begin(self) -> None:
        self._at, self._before = 0, b""
        self._was = self._at, self._before

    def read(self) -> tuple[bool, list[bytes]]:
        """New lines, and whether they are the first of a file; there may be none yet.

        Raises: Stopped: the file can't be read, or is no table of lines.
        """
        try:
            return self._read()
        except OSError as error:
            raise Stopped(f"{self.path} can't be read: {error.strerror}.") from error

    def again(self) -> None:
        """Give the lines that were read last once more, with what has come since."""
        self._at, self._before = self._was

    def _read(self) -> tuple[bool, list[bytes]]:
        self._file = self._file or self._opened()
        if self._file is None:
            return False, []
        found = self._new(self._file)
        if found[1] or not self._was_replaced(self._file):
            return found
        found = self._new(self._file)  # what came between the two looks
        if found[1]:
            return found
        self._file.close()
        self._file = self._opened()
        return (False, []) if self._file is None else self._new(self._file)

    def _new(self, file: BinaryIO) -> tuple[bool, list[bytes]]:
        if _peek(file, self._at - len(self._before), len(self._before)) != self._before:
            self._begin()
        self._was = self._at, self._before
        whole, newline, rest = _peek(file, self._at, MOST_BYTES).rpartition(b"\n")
        if not newline:
            if len(rest) > LONGEST_LINE:
                raise Stopped(f"{self.path} has no lines.", "Give a logger's table as text.")
            return False, []
        first = self._at == 0
        self._at += len(whole) + 1
        self._before = (self._before + whole + newline)[-REMEMBERED:]
        return first, whole.split(b"\n")

    def _was_replaced(self, file: BinaryIO) -> bool:
        """Whether the path leads to another file; to none for now is no answer yet."""
        here = os.fstat(file.fileno())
        try:
            there = self.path.stat()
        except FileNotFoundError:
            return False
        return (here.st_dev, here.st_ino) != (there.st_dev, there.st_ino)

    def _opened(self) -> BinaryIO | None:
        self._begin()
        try:
            return self.path.open("rb", buffering=0)
        except FileNotFoundError:
            return None


def _peek(file: BinaryIO, at: int, size: int) -> bytes:
    file.seek(at)
    return file.read(size)
