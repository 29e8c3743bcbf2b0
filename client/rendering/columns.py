"""Plain columns and labelled lines, in the width of the screen."""

from __future__ import annotations

import json
import re
import sys
import textwrap
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import zip_longest

from .. import hints
from ..answers import Record

GAP = "  "

GLUE = "\N{NO-BREAK SPACE}"
_TORN = re.compile(r" (?=\d\d:\d\d)|(?<=\d) (?=[°%]|[A-Za-z]{1,3}\b)")

LEAST = 16
"""Characters for a text beside a wide label; if there are fewer, the text goes under the label."""


NARROWEST = 10
"""Characters of a column that is wrapped, at least."""
ROOMY = 60
"""A screen with this many characters has room for columns without heads."""
ROW = 6
"""A row of more lines is easier to read as a block of labelled lines."""


@dataclass(frozen=True)
class View:
    """The person's screen, and the current time.

    Attributes:
        width: in characters.
        plain: whether rows are for a program: separated by tabs, whole, their moments in ISO 8601.
    """

    width: int
    now: datetime
    plain: bool = False


def plain(text: object) -> str:
    """The text on one line, without control characters, which a terminal would obey."""
    return "".join(c if c.isprintable() else " " for c in str(text)).rstrip()


def shown(text: str) -> str:
    """Text of a file: as it is for another program, and harmless on a terminal."""
    if not sys.stdout.isatty():
        return text
    return "".join(c if c.isprintable() or c in "\r\n\t" else " " for c in text)


def json_text(text: str) -> str:
    """JSON as it came, with what a terminal would obey written as escapes; its values are the same.

    A server may send any character inside a text, such as one that clears the screen.
    """
    return "".join(c if c.isprintable() or c == "\n" else _escaped(c) for c in text)


def _escaped(character: str) -> str:
    if character in "\t\r":  # JSON has them between values, where an escape would break it
        return " "
    return json.dumps(character)[1:-1] if not character.isascii() else f"\\u{ord(character):04x}"


def table(heads: Sequence[str], rows: Iterable[Sequence[object]], view: View) -> list[str]:
    """Aligned columns; a head that begins with `>` aligns its column to the right.

    Empty columns are left out. In a table that is too wide for the screen the longest columns are
    wrapped; if that is not enough, each row becomes a block of labelled lines.
    """
    cells = [[plain(cell) for _, cell in zip(heads, row, strict=True)] for row in rows]
    if view.plain:
        return ["\t".join(line) for line in ([[h.lstrip(">") for h in heads], *cells])]
    kept = [i for i in range(len(heads)) if any(row[i] for row in cells)]
    names = [heads[i].lstrip(">") for i in kept]
    cells = [[row[i] for i in kept] for row in cells]
    right = [heads[i].startswith(">") for i in kept]
    if not kept:
        return []
    widths = _fitted([names, *cells], view.width)
    if widths is None:
        return _blocks(names, cells, view.width)
    return [line for row in [names, *cells] for line in _lines(row, widths, right)]


def grid(rows: Sequence[Sequence[object]], right: Sequence[bool], view: View) -> list[str]:
    """Aligned columns without heads; a row's last text runs on over the columns that it leaves out.

    On a narrow screen the first column labels the rest.
    """
    cells = [[plain(cell) for cell in row] for row in rows]
    lasts = [max(i for i, cell in enumerate(row) if cell) for row in cells]
    kept = [
        row if row[-1] else [*row[:last], *[""] * (len(row) - last)]
        for row, last in zip(cells, lasts, strict=True)
    ]
    widths = _fitted(kept, view.width) if cells else None
    if widths is None or view.width < ROOMY:
        return labelled(((row[0], ", ".join(filter(None, row[1:]))) for row in cells), view.width)
    lines: list[str] = []
    for row, last in zip(cells, lasts, strict=True):
        rest = view.width - sum(widths[:last]) - len(GAP) * last
        lines += _lines(row[: last + 1], [*widths[:last], rest], right[: last + 1])
    return lines


def _fitted(cells: list[list[str]], screen: int) -> list[int] | None:
    """The widths of columns on a screen, the widest made narrower; None if there is no room."""
    columns = list(zip(*cells, strict=True))
    room = screen - len(GAP) * (len(columns) - 1)
    widths = [max(map(len, column)) for column in columns]
    least = [
        min(
            width,
            max(NARROWEST, *(len(word) for cell in column for word in _glued(cell).split(" "))),
        )
        for width, column in zip(widths, columns, strict=True)
    ]
    if sum(least) > room:
        return None
    while sum(widths) > room:
        able = [i for i, width in enumerate(widths) if width > least[i]]
        widths[max(able, key=lambda i: widths[i])] -= 1
    tallest = max(len(_wrap(c, w)) for row in cells for c, w in zip(row, widths, strict=True))
    return widths if tallest <= ROW else None


def _lines(cells: Sequence[str], widths: Sequence[int], right: Sequence[bool]) -> list[str]:
    """A row on as many lines as its longest cell takes."""
    wraps = [_wrap(cell, width) for cell, width in zip(cells, widths, strict=True)]
    return [_line(line, widths, right) for line in zip_longest(*wraps, fillvalue="")]


def _wrap(cell: str, width: int) -> list[str]:
    if len(cell) <= width:
        return [cell]
    lines = textwrap.wrap(_glued(cell), width, break_long_words=False, break_on_hyphens=False)
    return [line.replace(GLUE, " ") for line in lines]


def _glued(cell: str) -> str:
    """A text whose days stay beside their times, and whose numbers beside their units."""
    return _TORN.sub(GLUE, cell)


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
