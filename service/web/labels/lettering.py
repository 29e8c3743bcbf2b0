"""Fit words into their room on a label: measure them, make them smaller, cut them.

The font comes with a package, so that a label is the same on every machine.
"""

from __future__ import annotations

from functools import lru_cache
from importlib.resources import as_file, files
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from PIL.ImageFont import FreeTypeFont

CUT = "…"
_FONTS = {False: "SourceSansPro-Regular.ttf", True: "SourceSansPro-Bold.ttf"}
_EXACT = 200
"""Size in dots at which widths are measured."""


class Set(NamedTuple):
    """Words as they are printed: the text, its size and its width in mm."""

    text: str
    size: float
    width: float


@lru_cache(maxsize=16)
def font(size: int, bold: bool) -> FreeTypeFont:
    """The font at a size in dots."""
    from PIL import ImageFont

    file = files("font_source_sans_pro") / "files" / _FONTS[bold]
    with as_file(file) as path:
        return ImageFont.truetype(str(path), size, layout_engine=ImageFont.Layout.BASIC)


def width(text: str, size: float, bold: bool) -> float:
    """The width of words at a size, in the unit of the size."""
    return float(font(_EXACT, bold).getlength(text)) * size / _EXACT


def fitted(text: str, room: float, size: float, least: float, bold: bool) -> Set:
    """Words on one line: at `size`, or smaller to fit, or cut if even `least` is too large."""
    natural = width(text, size, bold)
    if natural > room:
        size = max(least, size * room / natural)
    text = cut(text, room, size, bold)
    return Set(text, size, min(room, width(text, size, bold)))


def cut(text: str, room: float, size: float, bold: bool) -> str:
    """As many characters as fit, with a mark if some are cut off."""
    if width(text, size, bold) <= room:
        return text
    kept = next(
        n
        for n in range(len(text) - 1, -1, -1)
        if width(text[:n].rstrip() + CUT, size, bold) <= room
    )
    return text[:kept].rstrip() + CUT


def lines(text: str, room: float, size: float, most: int) -> list[str]:
    """Words over at most so many lines; the last one has all the rest."""
    told: list[str] = []
    rest = text.split()
    while rest and len(told) < most - 1:
        line = rest.pop(0)
        while rest and width(f"{line} {rest[0]}", size, False) <= room:
            line += f" {rest.pop(0)}"
        told.append(line)
    return [*told, " ".join(rest)] if rest else told
