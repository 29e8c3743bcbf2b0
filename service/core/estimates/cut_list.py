"""A cut list: its pieces as a request names them, and its cuts as an answer shows them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Annotated, Any

from ..amounts import sentences
from ..amounts.quantities import SIZE
from ..amounts.views import View
from ..errors import Invalid
from ..frozen import frozen
from ..words import Text, say
from . import nesting, outlines
from .nesting import TENTH, Bed, Laid, Piece
from .outlines import Outline, Shape


@frozen
class Named:
    """One piece, its name, its place in the request, and its outline in µm."""

    piece: Piece
    name: str
    pointer: str
    outline: Outline


@frozen
class LaidView(View):
    """One cut: `start` along from the cut end, `edge` from the left edge seen from there.

    `length` is along the roll or the grain as the piece lies, `width` across; `turned` says
    that it lies a quarter turn round.
    """

    ply: int
    name: str
    shape: Shape
    length: Annotated[float, SIZE]
    width: Annotated[float, SIZE]
    start: Annotated[float, SIZE]
    edge: Annotated[float, SIZE]
    turned: bool


def read(rows: Sequence[Mapping[str, Any]], field: str, turns: bool = False) -> dict[int, Named]:
    """Every piece by its number, from 1 in the order given; sizes up to a tenth of a millimetre.

    Args:
        rows: each a `length` in µm, and if wanted `width` in µm, `shape`, `name`, `count`, `turn`.
        field: the name that the rows have in the request.
        turns: whether each may lie a quarter turn round; a piece with `turn` may in any case.

    Raises:
        Invalid: too many, or a size that can't be.
    """
    found: dict[int, Named] = {}
    for place, row in enumerate(rows):
        outline = _outline(row, f"/{field}/{place}")
        size = nesting.tenths(outline.length), nesting.tenths(outline.width)
        for _ in range(min(row.get("count", 1), nesting.MOST_PIECES + 1)):
            number = len(found) + 1
            piece = Piece(number, *size, turns or row.get("turn", False))
            name = row.get("name") or ""
            found[number] = Named(piece, name, f"/{field}/{place}", outline)
    nesting.check([each.piece for each in found.values()])
    return found


def show(laid: Laid, named: Mapping[int, Named]) -> LaidView:
    """A cut: where it starts, how it lies, and which shape is cut out of it."""
    each = named[laid.piece.number]
    return LaidView(
        ply=laid.piece.number,
        name=each.name,
        shape=each.outline.shape,
        length=laid.length * TENTH,
        width=laid.width * TENTH,
        start=laid.start * TENTH,
        edge=laid.edge * TENTH,
        turned=laid.turned,
    )


def area(laid: Sequence[Laid], named: Mapping[int, Named]) -> float:
    """Area of the shapes that are cut out, mm²."""
    return sum(named[each.piece.number].outline.area for each in laid)


def check_fit(named: Mapping[int, Named], bed: Bed, what: Text, advice: str) -> None:
    """Refuse pieces that an empty bed has no room for.

    Raises:
        Invalid: names the first one and its sizes.
    """
    for number, each in named.items():
        piece = each.piece
        if not piece.fits(bed):
            name = f" ({each.name})" if each.name else ""
            along, across = (sentences.size(n * TENTH) for n in (piece.length, piece.width))
            raise Invalid(
                say(
                    "Piece {}{} is {} along the fibre or grain and {} across: it fits on no {}.",
                    number,
                    name,
                    along,
                    across,
                    what,
                ),
                advice=advice,
                pointer=each.pointer,
            )


def _outline(row: Mapping[str, Any], pointer: str) -> Outline:
    length = float(row["length"])
    width = float(row["width"]) if row.get("width") is not None else None
    shape: Shape = row.get("shape") or "rectangular"
    try:
        if shape == "seam" and width is not None:
            return outlines.seam(length).grown(width, 0)
        return outlines.hole("rectangular" if shape == "seam" else shape, length, width)
    except Invalid as refusal:
        refusal.pointer = refusal.pointer or pointer
        raise
