"""Offcuts: rectangles of a board that are worth keeping, and the share of the board that each is.

Places and sizes are in tenths of a millimetre; the sizes of a share may be in any one unit.
"""

from __future__ import annotations

from collections.abc import Sequence

from ..frozen import frozen
from .nesting import Bed, Laid

LEAST, MOST = 1000, 3
"""The least width of an offcut that is worth keeping, 100 mm (common practice, no source), and the
most offcuts of one board."""

PIECE = 1000
"""One piece in thousandths."""

ROUNDING = 5
"""How far a share may differ from the offcut's own, in thousandths, if a person rounded it to a
hundredth."""


@frozen
class Offcut:
    """An empty rectangle, placed as `nesting.Laid`."""

    start: int
    edge: int
    length: int
    width: int


def share(size: tuple[float, float], sheet: tuple[float, float]) -> int:
    """The share of a board that an offcut is, by area, in thousandths of a piece.

    Rounded down, so that all offcuts together are never more than the board; but at least 1.
    """
    return max(int(PIECE * size[0] * size[1] // (sheet[0] * sheet[1])), 1)


def offcuts(bed: Bed, laid: Sequence[Laid], kerf: int) -> list[Offcut]:
    """The largest empty rectangle, then the largest of the rest, and so on, up to `MOST`.

    No rectangle overlaps another or a piece; the saw's kerf is kept free around each.
    """
    taken = [Offcut(each.start, each.edge, each.length, each.width) for each in laid]
    found: list[Offcut] = []
    while len(found) < MOST:
        best = _largest(bed, taken, kerf)
        if min(best.length, best.width) < LEAST:
            break
        found.append(best)
        taken.append(best)
    return found


def _largest(bed: Bed, taken: Sequence[Offcut], kerf: int) -> Offcut:
    """The largest empty rectangle: the longest gap between each left and each right side."""
    best = Offcut(0, 0, 0, 0)
    lefts = {0, *(each.edge + each.width + kerf for each in taken)}
    rights = {bed.width, *(each.edge - kerf for each in taken)}
    order = sorted(taken, key=lambda each: each.start)
    for left in lefts:
        for right in rights:
            if min(right - left, bed.length) < LEAST:
                continue
            between = [t for t in order if t.edge - kerf < right and t.edge + t.width + kerf > left]
            start, length = _gap(bed.length, between, kerf)
            if length >= LEAST and length * (right - left) > best.length * best.width:
                best = Offcut(start, left, length, right - left)
    return best


def _gap(length: int, between: Sequence[Offcut], kerf: int) -> tuple[int, int]:
    """(start, length) of the longest empty stretch; `between` is sorted by start."""
    best, reached = (0, 0), 0
    for each in between:
        best = max(best, (reached, each.start - kerf - reached), key=lambda gap: gap[1])
        reached = max(reached, each.start + each.length + kerf)
    return max(best, (reached, length - reached), key=lambda gap: gap[1])
