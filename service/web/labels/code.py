"""What the code on a label holds, and its dark and light squares (ISO/IEC 18004)."""

from __future__ import annotations

from io import BytesIO
from typing import TYPE_CHECKING, Literal

from ...acts.yard import settings as yard

if TYPE_CHECKING:
    from PIL.Image import Image

Noun = Literal["lot", "batch"]

PAGES: dict[Noun, str] = {"lot": "lots", "batch": "batches"}
"""Where the pages of each are, below the yard's address."""
QUIET = 4
"""Light squares that a reader wants round a code."""
LARGEST = 72
"""Squares that a side may have, with the quiet zone: more are too fine for a shop's printer."""


def held(noun: Noun, number: int) -> str:
    """The address of a thing's page where the yard has one, else a word that the program takes.

    An address that is too long for a label's code is left out, too.
    """
    address = yard.show_yard().address
    page = f"{address.rstrip('/')}/{PAGES[noun]}/{number}" if address else ""
    return page if page and Code(page).side <= LARGEST else word(noun, number)


def word(noun: Noun, number: int) -> str:
    """What a person types for a thing who has only its label: `lot:12`."""
    return f"{noun}:{number}"


class Code:
    """A code that is read with 15 in 100 of it lost (level M) or more.

    Attributes:
        text: that it holds.
        side: squares of a side, with the quiet zone.
    """

    def __init__(self, text: str) -> None:
        import segno  # late, as the image library is: most requests want no label

        self.text = text
        self._made = segno.make(text, error="m", micro=False)
        self.side = int(self._made.symbol_size(border=QUIET)[0])

    def drawn(self, square: float) -> str:
        """As an SVG element; a square is so much of its user's units."""
        return str(self._made.svg_inline(scale=square, border=QUIET, svgclass=None, lineclass=None))

    def image(self, dots: int) -> Image:
        """As an image; a square is so many dots."""
        from PIL import Image

        out = BytesIO()
        self._made.save(out, kind="png", scale=dots, border=QUIET)
        return Image.open(out).convert("L")
