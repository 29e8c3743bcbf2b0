"""Reach: the least cost of each slot of a step, from the slots of the step before."""

from __future__ import annotations

from .. import arrays as np
from ..arrays import Whole

Keys = Whole
Slots = Whole

NEVER = 2**60
"""More than any plan costs; twice this still fits in 64 bits."""


def cheapest(keys: Keys, first: Slots, last: Slots, slots: int) -> Keys:
    """For each slot, the least key of all entries that reach it; NEVER where none does.

    Each reach [first, last] is covered by two overlapping stretches whose length is a power of two.
    The stretches are then halved, length by length, down to single slots. So this takes
    slots × log(slots) steps, whatever the reaches are.

    Args:
        keys: the cost of each entry; NEVER if it can't be reached.
        first, last: the slots that an entry reaches, 0 ≤ first, last < slots; none if
            first > last.
    """
    here = np.flatnonzero((keys < NEVER) & (first <= last))
    if not len(here):
        return np.full(slots, NEVER)
    keys, first, last = keys[here], first[here], last[here]
    level = np.frexp(last - first + 1)[1] - 1
    covers = np.full((int(level.max()) + 1, slots), NEVER)
    np.minimum.at(covers, (level, first), keys)
    np.minimum.at(covers, (level, last - (1 << level) + 1), keys)
    for k in range(len(covers) - 1, 0, -1):
        half = 1 << (k - 1)
        np.minimum(covers[k - 1], covers[k], out=covers[k - 1])
        np.minimum(covers[k - 1, half:], covers[k, :-half], out=covers[k - 1, half:])
    return np.asarray(covers[0])
