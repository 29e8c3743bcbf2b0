"""A label on paper: 60 × 40 mm, its code to the left, and lines of words where they stand, in mm.

A line never leaves its room, and none lies on another: how many there may be is given by how
they are laid, top to bottom, in three fields (beside the code, below it, and the bar at the foot).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from .code import Code
from .lettering import fitted

WIDTH, HEIGHT, EDGE = 60.0, 40.0, 1.5
DOTS = 12
"""Dots a mm of an image: 305 dpi."""
CODE = 24.0
"""The most that a side of the code may take, quiet zone too."""
BAR = 5.0
BESIDE, ROOM = EDGE + CODE, WIDTH - 2 * EDGE - CODE
LEADING = 1.2


@dataclass(frozen=True)
class Words:
    """What is to be said: at a size in mm, no smaller than the least, after a space above."""

    text: str
    size: float
    bold: bool = False
    least: float = 1.8
    above: float = 0.0


@dataclass(frozen=True)
class Line:
    """A line on the paper, mm: its left, its baseline, its size and its width."""

    text: str
    x: float
    y: float
    size: float
    width: float
    bold: bool


@dataclass(frozen=True)
class Label:
    """A whole label.

    Attributes:
        title: what it is of. code: what is scanned. square: of the code, mm.
        lines: dark ones. bar: the light line on the dark bar at the foot, or None.
    """

    title: str
    code: Code
    square: float
    lines: tuple[Line, ...]
    bar: Line | None


def lay(
    title: str,
    text: str,
    beside: Sequence[Words],
    first: tuple[str, str],
    below: Sequence[str],
    bar: str,
) -> Label:
    """Lay a label out.

    Args:
        text: that the code holds. beside: the lines to its right.
        first: a few small words and the large ones after them, below the code.
        below: the one or two lines under those. bar: the caution, empty where there is none.
    """
    code = Code(text)
    dots = int(CODE * DOTS / code.side)
    lines = [*_column(beside), *_foot(first, below)]
    foot = Words(bar, 3.0, bold=True)
    return Label(
        title, code, dots / DOTS, tuple(lines),
        _line(foot, EDGE, HEIGHT - BAR + 3.5, WIDTH - 2 * EDGE) if bar else None,
    )  # fmt: skip


def _column(beside: Sequence[Words]) -> list[Line]:
    lines, y = [], EDGE
    for words in beside:
        y += words.above + words.size
        lines.append(_line(words, BESIDE, y, ROOM))
        y += words.size * (LEADING - 1)
    return lines


def _foot(first: tuple[str, str], below: Sequence[str]) -> list[Line]:
    """The large words with one line below them; or smaller, where there are two."""
    size, at = (6.2, 30.4) if len(below) == 1 else (4.5, 29.6)
    ends = ((2.8, 34.2),) if len(below) == 1 else ((2.2, 32.5), (2.0, 34.6))
    before = _line(Words(first[0], 2.8), EDGE, at, 14)
    left = before.x + before.width + 1.2
    large = _line(Words(first[1], size, bold=True), left, at, WIDTH - EDGE - left)
    room = WIDTH - 2 * EDGE
    under = [_line(Words(t, h), EDGE, y, room) for t, (h, y) in zip(below, ends, strict=True)]
    return [before, large, *under]


def _line(words: Words, x: float, y: float, room: float) -> Line:
    told = fitted(words.text, room, words.size, words.least, words.bold)
    return Line(told.text, x, y, told.size, told.width, words.bold)
