"""A ply that no one roll has the length for, split over two.

At butts and seams of a hull mats overlap by at least 50 mm, and the centre lines of the overlaps
of adjacent plies are at least 100 mm apart (rules for FRP ships, part 17, 301).
"""

from __future__ import annotations

from collections.abc import Mapping
from itertools import permutations

OVERLAP, APART = 500, 1000
"""At a joint, and between the joints of adjacent plies, in tenths of a millimetre."""


def two_rolls(length: int, left: Mapping[int, int]) -> tuple[tuple[int, int], ...] | None:
    """((roll, length cut from it), …) of the two that do with the least to spare, or None.

    Args:
        length: of the ply along the roll. left: roll → what is free of it; both in tenths of mm.
    """
    whole = length + OVERLAP
    pairs = [
        (left[one] + left[other], one, other)
        for one, other in permutations(left, 2)
        if left[one] >= left[other] > OVERLAP and left[one] + left[other] >= whole
    ]
    if not pairs:
        return None
    _, one, other = min(pairs)
    first = min(left[one], length - 1)
    return (one, first), (other, whole - first)
