"""Words in the room that there is: how wide they are, smaller or cut where they would not fit.

The font comes with a package, so that a label is the same wherever it was made.
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
"""Dots of the size that widths are measured at."""


class Set(NamedTuple):
    """Words as they are set: their size and width in mm."""

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
    """How wide words are at a size, in the size's own unit."""
    return float(font(_EXACT, bold).getlength(text)) * size / _EXACT


def fitted(text: str, room: float, size: float, least: float, bold: bool) -> Set:
    """Words on one line: at their size, or as small as they must be, or cut at the least one."""
    natural = width(text, size, bold)
    if natural > room:
        size = max(least, size * room / natural)
    text = cut(text, room, size, bold)
    return Set(text, size, min(room, width(text, size, bold)))


def cut(text: str, room: float, size: float, bold: bool) -> str:
    """As many of the characters as there is room for, with a mark where some are gone."""
    if width(text, size, bold) <= room:
        return text
    kept = next(n for n in range(len(text) - 1, -1, -1)
                if width(text[:n].rstrip() + CUT, size, bold) <= room)  # fmt: skip
    return text[:kept].rstrip() + CUT


def lines(text: str, room: float, size: float, most: int) -> list[str]:
    """Words over a few lines; the last one has the rest of them, cut."""
    told: list[str] = []
    rest = text.split()
    while rest and len(told) < most - 1:
        line = rest.pop(0)
        while rest and width(f"{line} {rest[0]}", size, False) <= room:
            line += f" {rest.pop(0)}"
        told.append(line)
    return [*told, " ".join(rest)] if rest else told
