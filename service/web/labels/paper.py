"""The layout of a label: 60 × 40 mm, the code at its left, and the places of its lines, in mm.

Lines are set from top to bottom in three places (beside the code, below it, in the bar at the
foot). None leaves its room, and none covers another.
"""

from __future__ import annotations

from collections.abc import Sequence

from ...core.frozen import frozen
from .code import Code
from .lettering import fitted

WIDTH, HEIGHT, EDGE = 60.0, 40.0, 1.5
DOTS = 12
"""Dots per mm of an image: 305 dpi."""
CODE = 24.0
"""The longest side of the code, with its quiet zone, mm."""
BAR = 5.0
BESIDE, ROOM = EDGE + CODE, WIDTH - 2 * EDGE - CODE
LEADING = 1.2


@frozen
class Words:
    """Words to set: at `size`, or no smaller than `least`, with a space `above`; all in mm."""

    text: str
    size: float
    bold: bool = False
    least: float = 1.8
    above: float = 0.0


@frozen
class Line:
    """A line on the paper: its left `x`, baseline `y`, size and width in mm."""

    text: str
    x: float
    y: float
    size: float
    width: float
    bold: bool


@frozen
class Label:
    """A whole label.

    Attributes:
        title: the name of the thing.
        code: to scan.
        square: size of a square of the code, mm.
        lines: dark on light.
        bar: the light line on the dark bar at the foot, or None.
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
        title: the name of the thing.
        text: for the code.
        beside: the lines to the right of the code.
        first: a few small words and the large ones after them, below the code.
        below: the one or two lines under those.
        bar: the caution; empty for none.
    """
    code = Code(text)
    dots = int(CODE * DOTS / code.side)
    lines = [*_column(beside), *_foot(first, below)]
    foot = Words(bar, 3.0, bold=True)
    return Label(
        title,
        code,
        dots / DOTS,
        tuple(lines),
        _line(foot, EDGE, HEIGHT - BAR + 3.5, WIDTH - 2 * EDGE) if bar else None,
    )


def _column(beside: Sequence[Words]) -> list[Line]:
    lines, y = [], EDGE
    for words in beside:
        y += words.above + words.size
        lines.append(_line(words, BESIDE, y, ROOM))
        y += words.size * (LEADING - 1)
    return lines


def _foot(first: tuple[str, str], below: Sequence[str]) -> list[Line]:
    """The large words with one line below them; smaller, if there are two lines."""
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
