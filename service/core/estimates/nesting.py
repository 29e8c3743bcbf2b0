"""Pieces laid out on a bed: a length of roll, or a sheet. Whole tenths of a millimetre throughout.

A packing library lays the rectangles; here they are turned as far as the cloth or the grain lets
them, the saw's kerf is kept free between them, and the best of several ways is taken. A round or
oval ply is laid as the rectangle about it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil
from typing import Any

import rectpack

from ..errors import Invalid

TENTH = 100
"""Of a millimetre, in µm."""

MOST_PIECES = 100
"""Of one cut list: what a person cuts in a day, what is laid out within seconds, and no more
pieces than a job's need may have."""

CLOTH = (rectpack.MaxRectsBl, rectpack.MaxRectsBssf)
"""Ways to lay plies on cloth, which scissors cut in any order."""

SAWN = (rectpack.GuillotineBssfSas, rectpack.GuillotineBssfLas, rectpack.GuillotineBafSas)
"""Ways to lay pieces on a sheet so that each saw cut goes from edge to edge."""

Sort = Callable[[list[Any]], list[Any]]


@dataclass(frozen=True)
class Bed:
    """What is cut from: `length` along the roll or the grain, `width` across, in tenths."""

    length: int
    width: int


@dataclass(frozen=True)
class Piece:
    """A rectangle to cut: `length` along the fibre or grain, `width` across, in tenths.

    Attributes:
        number: what it is called by. turns: whether it may lie a quarter turn round.
    """

    number: int
    length: int
    width: int
    turns: bool = False

    def fits(self, bed: Bed) -> bool:
        """Whether it can be cut from an empty bed at all."""
        straight = self.length <= bed.length and self.width <= bed.width
        return straight or (self.turns and self.width <= bed.length and self.length <= bed.width)


@dataclass(frozen=True)
class Laid:
    """A piece on its bed.

    Attributes:
        start: from the bed's cut end. edge: from its left edge, seen from that end, in tenths.
        length, width: along and across the bed, as it lies. turned: a quarter turn round.
    """

    piece: Piece
    start: int
    edge: int
    length: int
    width: int

    @property
    def turned(self) -> bool:
        """Whether it lies a quarter turn round."""
        return (self.length, self.width) != (self.piece.length, self.piece.width)

    @property
    def end(self) -> int:
        """Where it stops along the bed, in tenths."""
        return self.start + self.length


def tenths(size: float) -> int:
    """A size in µm as tenths of a millimetre, never less; a thousandth over one is that one."""
    return ceil(round(size / TENTH, 3))


def check(pieces: Sequence[Piece]) -> None:
    """Refuse a list of nothing, or one that no day is long enough for.

    Raises:
        Invalid: it has no pieces, or too many.
    """
    if not 0 < len(pieces) <= MOST_PIECES:
        raise Invalid(
            f"A cut list can't have {len(pieces)} pieces.",
            advice=f"Give 1 to {MOST_PIECES} pieces at a time; check the counts.",
        )


def fill(bed: Bed, pieces: Sequence[Piece], kerf: int = 0, *, sawn: bool = False) -> list[Laid]:
    """The best layout found on one bed: the most area on it, then the least of its length.

    Args:
        kerf: that the saw takes between pieces, in tenths. sawn: whether every cut must go
            from edge to edge.

    Returns: what fits, in the order along the bed; pieces that found no room are not in it.
    """
    best: list[Laid] = []
    for turned in _ways_round(bed, pieces):
        for algorithm in SAWN if sawn else CLOTH:
            for sort in _SORTS:
                best = max(best, _pack(bed, turned, kerf, algorithm, sort), key=_merit)
    return sorted(best, key=lambda laid: (laid.start, laid.edge))


def unrolled(pieces: Sequence[Piece], width: int) -> list[Laid]:
    """The shortest layout found on a roll that is long enough for anything."""
    return fill(Bed(sum(max(p.length, p.width) for p in pieces), width), pieces)


def roll_cuts(sizes: Sequence[tuple[float, float]], width: float, *, turns: bool) -> list[int]:
    """Lengths of the cuts over a roll's whole width that hold every piece, in tenths.

    Args:
        sizes: along the fibre and across it, µm. width: of the roll, µm.
        turns: whether a piece may lie a quarter turn round.

    Returns: what `bands` of the shortest layout has; pieces that fit no way are left out.
    """
    bed = Bed(10**9, max(int(width) // TENTH, 1))
    pieces = [Piece(n, tenths(a), tenths(b), turns) for n, (a, b) in enumerate(sizes)]
    fits = [piece for piece in pieces if piece.fits(bed)]
    lists = [fits[n : n + MOST_PIECES] for n in range(0, len(fits), MOST_PIECES)]
    return [band for each in lists for band in bands(unrolled(each, bed.width))]


def is_too_wide(size: tuple[float, float], width: float, *, turns: bool) -> bool:
    """Whether a piece fits a roll no way that it may lie; sizes as `roll_cuts` takes them."""
    piece = Piece(0, tenths(size[0]), tenths(size[1]), turns)
    return not piece.fits(Bed(10**9, max(int(width) // TENTH, 1)))


def used(laid: Iterable[Laid]) -> int:
    """How much of the bed's length a layout takes, in tenths."""
    return max((each.end for each in laid), default=0)


def left_out(pieces: Iterable[Piece], laid: Iterable[Laid]) -> list[Piece]:
    """The pieces that a layout has not."""
    there = {each.piece.number for each in laid}
    return [piece for piece in pieces if piece.number not in there]


def bands(laid: Sequence[Laid]) -> list[int]:
    """Lengths of the cuts over the whole width that cut through no piece, from the cut end on."""
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


def _ways_round(bed: Bed, pieces: Sequence[Piece]) -> list[list[_Sized]]:
    """Every piece with (across, along): as it is, and those that turn all across, all along."""
    straight = [_fitting(bed, p, p.width, p.length) for p in pieces]
    if not any(piece.turns for piece in pieces):
        return [straight]
    sides = [(min(p.length, p.width), max(p.length, p.width)) for p in pieces]
    along = [_fitting(bed, p, *side) for p, side in zip(pieces, sides, strict=True)]
    across = [_fitting(bed, p, *side[::-1]) for p, side in zip(pieces, sides, strict=True)]
    return [straight, along, across]


def _fitting(bed: Bed, piece: Piece, across: int, along: int) -> _Sized:
    """The way round that is wanted, if the piece may turn and then fits; else the other."""
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
