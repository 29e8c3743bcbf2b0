"""The one operation of the chain plan: from each beginning of a step, the slots of the next."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Keys = NDArray[np.int64]
Slots = NDArray[np.int64]

NEVER = 2**60
"""Dearer than any plan; two of them still fit in 64 bits."""


def cheapest(keys: Keys, first: Slots, last: Slots, slots: int) -> Keys:
    """For each slot, the least of the keys whose reach holds it; NEVER where none does.

    Each reach [first, last] is covered by two overlapping stretches whose length is a power
    of two; the stretches are then halved, length by length, down to single slots. So it
    takes slots × log(slots) steps, whatever the reaches are.

    Args:
        keys: what each entry costs; NEVER where there is none.
        first, last: its slots, 0 ≤ first, last < slots; none where first > last.
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
