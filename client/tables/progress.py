"""A progress bar for a long table, on a terminal's stderr; nothing is shown anywhere else."""

from __future__ import annotations

import io
import sys
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from typing import TypeVar

import click

LONG_ROWS = 5000
LONG_BYTES = 512 * 1024
"""A table of this length takes long enough to need a bar."""

Item = TypeVar("Item")


def counted(items: Iterable[Item], length: int, label: str) -> Iterator[Item]:
    """The same items, with a bar and an estimate of the time left if there are many."""
    if length < LONG_ROWS or not sys.stderr.isatty():
        yield from items
        return
    with click.progressbar(items, length=length, label=label, file=sys.stderr) as bar:
        yield from bar


def tallied(items: Iterable[Item], label: str) -> Iterator[Item]:
    """The same items; how many there were so far is shown where nobody knows how many come."""
    at_a_terminal = sys.stderr.isatty()
    said = False
    for number, item in enumerate(items, start=1):
        yield item
        if at_a_terminal and number % LONG_ROWS == 0:
            click.echo(f"\r{label}: {number} rows", nl=False, err=True)
            said = True
    if said:
        click.echo(err=True)


@contextmanager
def sending(data: bytes) -> Iterator[io.BytesIO | bytes]:
    """The data to send, with a bar that follows the bytes as they leave."""
    if len(data) < LONG_BYTES or not sys.stderr.isatty():
        yield data
        return
    with click.progressbar(length=len(data), label="Sending", file=sys.stderr) as bar:
        yield _CountedBytes(data, bar.update)


class _CountedBytes(io.BytesIO):
    """Bytes that report how many of them were read."""

    def __init__(self, data: bytes, report: Callable[[int], None]) -> None:
        super().__init__(data)
        self._report = report

    def read(self, size: int | None = -1, /) -> bytes:
        part = super().read(size)
        self._report(len(part))
        return part
