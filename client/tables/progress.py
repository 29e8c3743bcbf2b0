"""How far a long table has come, on a terminal's stderr; silent anywhere else."""

from __future__ import annotations

import io
import sys
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from typing import TypeVar

import click

LONG_ROWS = 5000
LONG_BYTES = 512 * 1024
"""From where on it takes long enough to be told."""

Item = TypeVar("Item")


def passed(items: Iterable[Item], length: int, label: str) -> Iterator[Item]:
    """The items as they are, with a bar and an estimate beside them if there are many."""
    if length < LONG_ROWS or not sys.stderr.isatty():
        yield from items
        return
    with click.progressbar(items, length=length, label=label, file=sys.stderr) as bar:
        yield from bar


@contextmanager
def sending(data: bytes) -> Iterator[io.BytesIO | bytes]:
    """What is sent, with a bar that follows the bytes as they leave."""
    if len(data) < LONG_BYTES or not sys.stderr.isatty():
        yield data
        return
    with click.progressbar(length=len(data), label="Sending", file=sys.stderr) as bar:
        yield _Followed(data, bar.update)


class _Followed(io.BytesIO):
    """Bytes that tell how many of them were read."""

    def __init__(self, data: bytes, tell: object) -> None:
        super().__init__(data)
        self._tell = tell

    def read(self, size: int | None = -1, /) -> bytes:
        part = super().read(size)
        self._tell(len(part))  # type: ignore[operator]
        return part
