"""The QR code of a label: its text, and its dark and light squares (ISO/IEC 18004)."""

from __future__ import annotations

from io import BytesIO
from typing import TYPE_CHECKING, Literal

from ...acts.yard import settings as yard

if TYPE_CHECKING:
    from PIL.Image import Image

Noun = Literal["lot", "batch"]

PAGES: dict[Noun, str] = {"lot": "lots", "batch": "batches"}
"""The pages of each, below the yard's address."""
QUIET = 4
"""Light squares that a reader needs around a code."""
LARGEST = 72
"""Most squares of a side, with the quiet zone: more are too fine for a shop's printer."""


def content(noun: Noun, number: int) -> str:
    """The text of a label's code: the address of the thing's page, or its `word`.

    It is the word if the yard has no address, or one that is too long for a label's code.
    """
    address = yard.show_yard().address
    page = f"{address.rstrip('/')}/{PAGES[noun]}/{number}" if address else ""
    return page if page and Code(page).side <= LARGEST else word(noun, number)


def word(noun: Noun, number: int) -> str:
    """The word that a person types for a thing from its label: `lot:12`."""
    return f"{noun}:{number}"


class Code:
    """A code that can be read when 15 % of it are lost (level M).

    Attributes:
        text: the text that it holds.
        side: squares of a side, with the quiet zone.
    """

    def __init__(self, text: str) -> None:
        import segno  # late: most requests need no label

        self.text = text
        self._made = segno.make(text, error="m", micro=False)
        self.side = int(self._made.symbol_size(border=QUIET)[0])

    def drawn(self, square: float) -> str:
        """As an SVG element; `square` is the size of a square in its user units."""
        return str(self._made.svg_inline(scale=square, border=QUIET, svgclass=None, lineclass=None))

    def image(self, dots: int) -> Image:
        """As an image; `dots` is the size of a square."""
        from PIL import Image

        out = BytesIO()
        self._made.save(out, kind="png", scale=dots, border=QUIET)
        return Image.open(out).convert("L")
