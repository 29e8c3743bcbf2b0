"""Joining: a ply that is too long for any one roll is cut from two.

At butts and seams of a hull mats overlap by at least 50 mm, and the centre lines of the overlaps of
adjacent plies are at least 100 mm apart (Iranian Classification Society, Rules for the
Classification of FRP Ships, 2014, part 17, 301).
"""

from __future__ import annotations

from collections.abc import Mapping
from itertools import permutations

OVERLAP, APART = 500, 1000
"""The overlap at a joint, and the distance between joints of adjacent plies, in tenths of a mm."""


def two_rolls(length: int, left: Mapping[int, int]) -> tuple[tuple[int, int], ...] | None:
    """The two rolls that are together just long enough: ((roll, length to cut), …), or None.

    Args:
        length: of the ply along the roll. left: roll → its free length; all in tenths of a mm.
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
