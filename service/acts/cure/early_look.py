"""A look that a layup can't have shown yet: most likely it was of another layup."""

from __future__ import annotations

from ...core.cure.touch import HARD
from ...store.cure.layups import Layup
from . import watch

_HARDENED = ("no_transfer", "sanded", *HARD)


def doubts(row: Layup, kind: str, at: int) -> list[str]:
    """A warning on a look at a moment (epoch s) before the layup can have gelled.

    To be asked before the look is recorded. A gel that comes early is judged by its pot.
    """
    if kind not in _HARDENED:
        return []
    gel = watch.as_it_stood(row, at).found["gel"]
    if gel.earliest is None or at >= gel.earliest:
        return []
    minutes = (gel.earliest - at) / 60
    return [
        f"Layup {row.id} gels {minutes:.0f} min later at the earliest. If the look was of another "
        "layup, take it back; if not, check the ratio and the temperature."
    ]
