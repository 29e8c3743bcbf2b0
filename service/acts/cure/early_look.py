"""A look that a layup can't have shown yet: most likely it was of another layup."""

from __future__ import annotations

from ...core.cure.found import SET
from .watch import Watched


def doubts(before: Watched, kind: str, at: int) -> list[str]:
    """A warning on a look at a moment (epoch s) before the layup can have gelled.

    A gel that comes early is judged by its pot.

    Args:
        before: the layup as it stood at that moment, without the look.
    """
    skin = before.found.get("skin")
    gel = skin or before.found["gel"]
    if kind not in SET or gel.earliest is None or at >= gel.earliest:
        return []
    if kind == "gelled" and skin is None:
        return []
    minutes, does = (gel.earliest - at) / 60, "gels" if skin is None else "skins"
    check = "check the ratio and the temperature"
    if skin is not None:
        check = "read the bay with its humidity"
    return [
        f"Layup {before.row.id} {does} {minutes:.0f} min later at the earliest. If the look was of "
        f"another layup, take it back; if not, {check}."
    ]
