"""Plain columns and labelled lines, in the width of the screen."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from .. import hints
from ..answers import Record

GAP = "  "

LEAST = 16
"""Characters for a text beside a wide label; if there are fewer, the text goes under the label."""


@dataclass(frozen=True)
class View:
    """The width of the person's screen, and the current time."""

    width: int
    now: datetime


def plain(text: object) -> str:
    """The text on one line, without control characters, which a terminal would obey."""
    return "".join(c if c.isprintable() else " " for c in str(text)).rstrip()


def table(heads: Sequence[str], rows: Iterable[Sequence[object]], width: int) -> list[str]:
    """Aligned columns; a head that begins with `>` aligns its column to the right.

    Empty columns are left out. A table that is too wide for the screen becomes a block of
    labelled lines for each row.
    """
    cells = [[plain(cell) for _, cell in zip(heads, row, strict=True)] for row in rows]
    kept = [i for i in range(len(heads)) if any(row[i] for row in cells)]
    names = [heads[i].lstrip(">") for i in kept]
    cells = [[row[i] for i in kept] for row in cells]
    right = [heads[i].startswith(">") for i in kept]
    widths = [max(map(len, column)) for column in zip(names, *cells, strict=True)]
    if sum(widths) + len(GAP) * (len(widths) - 1) > width:
        return _blocks(names, cells, width)
    return [_line(line, widths, right) for line in ([names, *cells] if cells else [])]


def _line(cells: Sequence[str], widths: Sequence[int], right: Sequence[bool]) -> str:
    placed = (
        cell.rjust(size) if flush else cell.ljust(size)
        for cell, size, flush in zip(cells, widths, right, strict=True)
    )
    return GAP.join(placed).rstrip()


def _blocks(names: Sequence[str], rows: Sequence[Sequence[str]], width: int) -> list[str]:
    return spaced(*(labelled(zip(names, row, strict=True), width) for row in rows))


def labelled(pairs: Iterable[tuple[str, object]], width: int) -> list[str]:
    """`label  text`: labels aligned, long texts wrapped; pairs without a text are left out."""
    filled = [(label, plain(text)) for label, text in pairs if text not in (None, "")]
    edge = max((len(label) for label, _ in filled), default=0) + len(GAP)
    if edge > width / 2 and edge + LEAST > width:
        return [line for label, text in filled for line in _under(label, text, width)]
    lines: list[str] = []
    for label, text in filled:
        lines += textwrap.wrap(
            text,
            width,
            initial_indent=label.ljust(edge),
            subsequent_indent=" " * edge,
            break_on_hyphens=False,
        )
    return lines


def _under(label: str, text: str, width: int) -> list[str]:
    """A text under its label, for a screen that is too narrow for both side by side."""
    return wrapped(label, width) + wrapped(text, width, "  ")


def wrapped(text: object, width: int, mark: str = "") -> list[str]:
    """A sentence on as many lines as it needs, indented under its mark."""
    return textwrap.wrap(
        plain(text),
        width,
        initial_indent=mark,
        subsequent_indent=" " * len(mark),
        break_on_hyphens=False,
    )


def spaced(*blocks: list[str]) -> list[str]:
    """Blocks of lines with an empty line between them; empty blocks are left out."""
    lines: list[str] = []
    for block in filter(None, blocks):
        lines += [*([""] if lines else []), *block]
    return lines


def marked(texts: Iterable[object] | None, width: int, mark: str = "! ") -> list[str]:
    """Each sentence of a list, with a mark."""
    return [line for text in texts or () for line in wrapped(text, width, mark)]


def remarks(answer: Record, width: int) -> list[str]:
    """The sentences of an answer: its warnings `!`, then its advice `>`, then its cautions `-`."""
    warnings = hints.added(answer.get("warnings"), job=answer.get("job"), resin=answer.get("resin"))
    return [
        *marked(warnings, width, "! "),
        *marked(answer.get("advice"), width, "> "),
        *marked(answer.get("cautions"), width, "- "),
    ]
