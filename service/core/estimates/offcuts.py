"""What is left of a sheet in rectangles worth keeping, and the share of it that each is.

Placed and measured in tenths of a millimetre; a share's sizes are in any one unit.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from .nesting import Bed, Laid

LEAST, MOST = 1000, 3
"""The shorter side of a piece worth a place on the rack, and how many of one sheet are told:
100 mm is common practice, no source."""

PIECE = 1000
"""Of a count, in its thousandths."""

ROUNDING = 5
"""How far a share that a person rounded to a hundredth may be from the offcut's own."""


@dataclass(frozen=True)
class Offcut:
    """A rectangle that nothing lies on, placed as a piece is."""

    start: int
    edge: int
    length: int
    width: int


def share(size: tuple[float, float], sheet: tuple[float, float]) -> int:
    """What an offcut is of a sheet by its area, in thousandths of a piece, rounded down.

    Down, so that the offcuts of a sheet are never more than the sheet; but never nothing.
    """
    return max(int(PIECE * size[0] * size[1] // (sheet[0] * sheet[1])), 1)


def offcuts(bed: Bed, laid: Sequence[Laid], kerf: int) -> list[Offcut]:
    """The largest empty rectangle, then the largest beside it, and so on.

    None lies over another or over a piece; the saw's kerf is kept free round each.
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
    """Between each left side and each right side, the longest gap."""
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
    """(start, length) of the longest stretch that nothing is in; `between` by its starts."""
    best, reached = (0, 0), 0
    for each in between:
        best = max(best, (reached, each.start - kerf - reached), key=lambda gap: gap[1])
        reached = max(reached, each.start + each.length + kerf)
    return max(best, (reached, length - reached), key=lambda gap: gap[1])
