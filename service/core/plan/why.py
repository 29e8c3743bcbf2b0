"""Why a step of a chain begins when it does, or can't be begun at all."""

from __future__ import annotations

import numpy as np

from ..errors import NoPlan
from .reach import NEVER, cheapest
from .routes import Front, Route, Shop
from .steps import Lay, Work

BOUNDS = (
    "start",
    "last-step",
    "window",
    "hard",
    "hours",
    "temperature",
    "cold-night",
    "later-step",
)
"""What may keep a step from beginning earlier: the start asked for; the step before; the
recoat window, not open yet; the layer below, too soft to be worked on; the shop's hours; too
cold or hot to lay up; a night too cold for it to get hard; or the good of a later step."""

_BLOCKED = {
    "hours": "the shop's hours have no stretch long enough for it then",
    "temperature": "the bay is too cold or too hot to lay it up in those hours",
    "cold-night": "it would lie too cold for too long before it is hard",
}
_ADVICE = {
    "window": "Give 'abrade' for the step, the time that abrading takes; or begin the one "
    "before it at another hour, or make it smaller.",
    "hours": "Widen the hours, split the step, or abrade and lay it on different days.",
    "temperature": "Heat the bay (flameless, ducted, before resin is opened), and enter what "
    "it holds by day and night.",
    "cold-night": "Heat the bay through the night, or begin the day's layer earlier.",
    "hard": "The layer below has no time to sanding or full cure on its cure sheet, or lies "
    "too cold: heat the bay, or complete the sheet.",
}


def bound(route: Route, came: int, at: int) -> str:
    """What kept a step from beginning before slot `at`; one of `BOUNDS`.

    Args:
        came: the entry of the front before that it comes from.
    """
    first = int(route.first[came])
    if at > first:
        if (route.cost[first:at] < NEVER).any():
            return "later-step"
        return next(name for name, slots in route.allowed.items() if not slots[at - 1])
    return max(route.bounds, key=lambda name: float(route.bounds[name][came]))


def why_not(number: int, front: Front, step: Lay | Work, ways: list[Route], shop: Shop) -> NoPlan:
    """The refusal of a step that no way leads to.

    Args:
        number: of the step, from 0. ways: all of them, none of which can be gone.
    """
    found = [_blocked(front, way, shop) for way in ways]
    reasons = "; ".join(dict.fromkeys(reason for _, reason in found))
    return NoPlan(
        f"Step {number + 1}, '{step.title}', can't be reached: {reasons}.",
        advice=_ADVICE[found[-1][0]],
        pointer=f"/steps/{number}",
    )


def _blocked(front: Front, way: Route, shop: Shop) -> tuple[str, str]:
    """What stands in one way: a name and a reason."""
    open_to = cheapest(np.minimum(front.key, NEVER), way.first, way.last, shop.slots) < NEVER
    if not open_to.any():
        if "window" in way.bounds:
            seen = np.isfinite(way.bounds["window"]).any()
            return "window", (
                "no recoat window of the layer below is as long as it takes"
                if seen
                else "the layer below has no recoat window"
            )
        if "hard" in way.bounds and not np.isfinite(way.bounds["hard"]).any():
            return "hard", "the layer below does not get hard enough to be worked on"
        return "hours", "the days that are planned end before it could begin"
    for name, slots in way.allowed.items():
        open_to = open_to & slots
        if not open_to.any():
            reason = _BLOCKED[name]
            if "window" in way.bounds:
                return "window", f"while the recoat window is open, {reason}"
            return name, reason
    raise AssertionError("the way can be gone")
