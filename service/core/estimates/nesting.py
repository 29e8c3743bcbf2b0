"""Nesting: pieces laid out on a bed: a length of roll, or a board (a product of the role 'sheet').

All sizes are whole tenths of a millimetre. A packing library places the rectangles. This module
turns them where cloth or grain allow it, keeps the saw's kerf free between them, and takes the best
of several layouts. A round or oval ply is placed as the rectangle around it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from itertools import pairwise
from math import ceil
from typing import Any

import rectpack

from ..errors import Invalid
from ..frozen import frozen

TENTH = 100
"""A tenth of a millimetre, µm."""

MOST_PIECES = 100
"""The most pieces of one cut list: a day's cutting, and laid out within seconds. A job's need may
have as many."""

CLOTH = (rectpack.MaxRectsBl, rectpack.MaxRectsBssf)
"""Packing rules for plies on cloth, which scissors cut in any order."""

SAWN = (rectpack.GuillotineBssfSas, rectpack.GuillotineBssfLas, rectpack.GuillotineBafSas)
"""Packing rules for pieces on a board, where each saw cut goes from edge to edge."""

Sort = Callable[[list[Any]], list[Any]]


@frozen
class Bed:
    """The material: `length` along the roll or the grain, `width` across, in tenths."""

    length: int
    width: int


@frozen
class Piece:
    """A rectangle to cut: `length` along the fibre or grain, `width` across, in tenths.

    Attributes:
        number: its name. turns: whether it may be turned by a quarter.
    """

    number: int
    length: int
    width: int
    turns: bool = False

    def fits(self, bed: Bed) -> bool:
        """Whether it can be cut from an empty bed."""
        straight = self.length <= bed.length and self.width <= bed.width
        return straight or (self.turns and self.width <= bed.length and self.length <= bed.width)


@frozen
class Laid:
    """A piece on its bed.

    Attributes:
        start: from the bed's cut end. edge: from its left edge, seen from that end.
        length, width: along and across the bed, as it lies. All in tenths.
    """

    piece: Piece
    start: int
    edge: int
    length: int
    width: int

    @property
    def turned(self) -> bool:
        """Whether it lies turned by a quarter."""
        return (self.length, self.width) != (self.piece.length, self.piece.width)

    @property
    def end(self) -> int:
        """Its far end along the bed, in tenths."""
        return self.start + self.length


def tenths(size: float) -> int:
    """A size in µm as tenths of a millimetre, rounded up; an excess of a thousandth is ignored."""
    return ceil(round(size / TENTH, 3))


def check(pieces: Sequence[Piece]) -> None:
    """Refuse a cut list that is empty or too long.

    Raises:
        Invalid: it has no pieces, or over `MOST_PIECES`.
    """
    if not 0 < len(pieces) <= MOST_PIECES:
        raise Invalid(
            f"A cut list can't have {len(pieces)} pieces.",
            advice=f"Give 1 to {MOST_PIECES} pieces at a time; check the counts.",
        )


def fill(bed: Bed, pieces: Sequence[Piece], kerf: int = 0, *, sawn: bool = False) -> list[Laid]:
    """The best layout found on one bed: the most area, then the least length of the bed.

    Args:
        kerf: width of a saw cut, in tenths. sawn: whether every cut must go from edge to edge.

    Returns:
        The pieces that fit, in the order along the bed; the others are left out.
    """
    best: list[Laid] = []
    for turned in _directions(bed, pieces):
        for algorithm in SAWN if sawn else CLOTH:
            for sort in _SORTS:
                best = max(best, _pack(bed, turned, kerf, algorithm, sort), key=_merit)
    return sorted(best, key=lambda laid: (laid.start, laid.edge))


def unrolled(pieces: Sequence[Piece], width: int) -> list[Laid]:
    """The shortest layout found on a roll of a width (tenths) and of any length."""
    return fill(Bed(sum(max(p.length, p.width) for p in pieces), width), pieces)


def roll_cuts(sizes: Sequence[tuple[float, float]], width: float, *, turns: bool) -> list[int]:
    """Lengths of the cuts over a roll's whole width that hold every piece, in tenths.

    Args:
        sizes: (along the fibre, across it), µm. width: of the roll, µm.
        turns: whether a piece may be turned by a quarter.

    Returns:
        The `bands` of the shortest layout; pieces that don't fit are left out.
    """
    bed = Bed(10**9, max(int(width) // TENTH, 1))
    pieces = [Piece(n, tenths(a), tenths(b), turns) for n, (a, b) in enumerate(sizes)]
    fits = [piece for piece in pieces if piece.fits(bed)]
    lists = [fits[n : n + MOST_PIECES] for n in range(0, len(fits), MOST_PIECES)]
    return [band for each in lists for band in bands(unrolled(each, bed.width))]


def is_too_wide(size: tuple[float, float], width: float, *, turns: bool) -> bool:
    """Whether a piece does not fit a roll in any allowed direction; arguments as `roll_cuts`."""
    piece = Piece(0, tenths(size[0]), tenths(size[1]), turns)
    return not piece.fits(Bed(10**9, max(int(width) // TENTH, 1)))


def used(laid: Iterable[Laid]) -> int:
    """The length of the bed that a layout takes, in tenths."""
    return max((each.end for each in laid), default=0)


def left_out(pieces: Iterable[Piece], laid: Iterable[Laid]) -> list[Piece]:
    """The pieces that are not in a layout."""
    placed = {each.piece.number for each in laid}
    return [piece for piece in pieces if piece.number not in placed]


def bands(laid: Sequence[Laid]) -> list[int]:
    """Lengths between the cuts over the whole width that cut no piece, from the cut end on."""
    lines, reached = [0], 0
    for each in sorted(laid, key=lambda each: each.start):
        if each.start >= reached > lines[-1]:
            lines.append(reached)
        reached = max(reached, each.end)
    lines.append(reached)
    return [after - before for before, after in pairwise(lines)]


def _merit(laid: Sequence[Laid]) -> tuple[int, int]:
    return sum(each.length * each.width for each in laid), -used(laid)


_SORTS: tuple[Sort, ...] = (
    lambda sizes: sorted(sizes, key=lambda size: (-size[0] * size[1], size)),
    lambda sizes: sorted(sizes, key=lambda size: (-size[0], -size[1], size)),
)
"""Largest first, and widest first."""

_Sized = tuple[Piece, int, int]


def _directions(bed: Bed, pieces: Sequence[Piece]) -> list[list[_Sized]]:
    """Every piece with (across, along): as given, and with all that may turn along, or across."""
    straight = [_fitting(bed, p, p.width, p.length) for p in pieces]
    if not any(piece.turns for piece in pieces):
        return [straight]
    sides = [(min(p.length, p.width), max(p.length, p.width)) for p in pieces]
    along = [_fitting(bed, p, *side) for p, side in zip(pieces, sides, strict=True)]
    across = [_fitting(bed, p, *side[::-1]) for p, side in zip(pieces, sides, strict=True)]
    return [straight, along, across]


def _fitting(bed: Bed, piece: Piece, across: int, along: int) -> _Sized:
    """The wanted direction, if the piece may turn and fits like that; else the other."""
    if not piece.turns:
        return piece, piece.width, piece.length
    if across > bed.width or along > bed.length:
        return piece, along, across
    return piece, across, along


def _pack(
    bed: Bed, pieces: Sequence[_Sized], kerf: int, algorithm: type[Any], sort: Sort
) -> list[Laid]:
    packer = rectpack.newPacker(pack_algo=algorithm, sort_algo=sort, rotation=False)
    packer.add_bin(bed.width + kerf, bed.length + kerf)
    by_place = dict(enumerate(pieces))
    for place, (_, across, along) in by_place.items():
        packer.add_rect(across + kerf, along + kerf, place)
    packer.pack()
    return [
        Laid(by_place[place][0], y, x, along - kerf, across - kerf)
        for _, x, y, across, along, place in packer.rect_list()
    ]
