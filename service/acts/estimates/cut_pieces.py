"""A cut list as a request names it, and as an answer shows it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from ...core.amounts import sentences as worded
from ...core.errors import Invalid
from ...core.estimates import nesting, outlines
from ...core.estimates.nesting import TENTH, Bed, Laid, Piece
from ...core.estimates.outlines import Outline, Shape


@dataclass(frozen=True)
class Named:
    """One piece, what it is called, where the request has it, and its outline in µm."""

    piece: Piece
    name: str
    pointer: str
    outline: Outline


def read(rows: Sequence[dict[str, Any]], field: str, turns: bool = False) -> dict[int, Named]:
    """Every piece by its number, from 1 in the order given; up to a tenth of a millimetre.

    Args:
        field: of the request that has the rows. turns: whether each may lie a quarter turn
            round; one that says so itself with `turn` may in any case.

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


def show(laid: Laid, named: Mapping[int, Named]) -> dict[str, Any]:
    """A cut: where it starts, how it lies, and what shape is cut out of it; µm."""
    each = named[laid.piece.number]
    shape = each.outline.shape
    return {
        "ply": laid.piece.number,
        "name": each.name,
        "shape": shape,
        "length": laid.length * TENTH,
        "width": laid.width * TENTH,
        "start": laid.start * TENTH,
        "edge": laid.edge * TENTH,
        "turned": laid.turned,
    }


def area(laid: Sequence[Laid], named: Mapping[int, Named]) -> float:
    """Of what is cut out, mm²."""
    return sum(named[each.piece.number].outline.area for each in laid)


def check_fit(named: Mapping[int, Named], bed: Bed, what: str, advice: str) -> None:
    """Refuse pieces that an empty bed has no room for.

    Raises:
        Invalid: names the first one and its sizes.
    """
    for number, each in named.items():
        piece = each.piece
        if not piece.fits(bed):
            name = f" ({each.name})" if each.name else ""
            along, across = (worded.size(n * TENTH) for n in (piece.length, piece.width))
            raise Invalid(
                f"Piece {number}{name} is {along} along the fibre or grain and {across} across: "
                f"it fits on no {what}.",
                advice=advice,
                pointer=each.pointer,
            )


def _outline(row: dict[str, Any], pointer: str) -> Outline:
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
