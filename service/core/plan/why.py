"""The reason why a step of a chain does not begin earlier, or can't begin at all."""

from __future__ import annotations

from .. import arrays as np
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
"""The reasons why a step does not begin earlier: the start of the plan; the step before; the recoat
window is not open; the layer below is too soft; the shop's hours; too cold or too hot to lay up;
too cold a night before it is hard; or a later step would suffer."""

_BLOCKED = {
    "hours": "the shop's hours have no stretch long enough for it then",
    "temperature": "the bay is too cold or too hot to lay it up in those hours",
    "cold-night": "it would be too cold for too long before it is hard",
}
_ADVICE = {
    "window": "Give 'abrade' for the step, the time that abrading takes; or begin the step "
    "before it at another hour, or make it smaller.",
    "hours": "Widen the hours, split the step, or abrade and lay it on different days.",
    "temperature": "Heat the bay (flameless, ducted, before resin is opened), and enter its new "
    "temperatures by day and night.",
    "cold-night": "Heat the bay through the night, or begin the day's layer earlier.",
    "hard": "The cure sheet of the layer below has no time for sanding or full cure, or the bay is "
    "too cold: complete the sheet, or heat the bay.",
}


def bound(route: Route, came: int, at: int) -> str:
    """The reason why a step did not begin before slot `at`; one of `BOUNDS`.

    Args:
        came: the entry of the front before from which the route comes.
    """
    first = int(route.first[came])
    if at > first:
        if (route.cost[first:at] < NEVER).any():
            return "later-step"
        return next(name for name, slots in route.allowed.items() if not slots[at - 1])
    return max(route.bounds, key=lambda name: float(route.bounds[name][came]))


def why_not(
    number: int, front: Front, step: Lay | Work, options: list[Route], shop: Shop
) -> NoPlan:
    """The refusal of a step that no route reaches.

    Args:
        number: of the step, from 0. options: all routes to it.
    """
    found = [_blocked(front, route, shop) for route in options]
    reasons = "; ".join(dict.fromkeys(reason for _, reason in found))
    return NoPlan(
        f"Step {number + 1}, '{step.title}', can't be reached: {reasons}.",
        advice=_ADVICE[found[-1][0]],
        pointer=f"/steps/{number}",
    )


def _blocked(front: Front, route: Route, shop: Shop) -> tuple[str, str]:
    """The obstacle on one route: its name, and the reason in words."""
    open_to = cheapest(np.minimum(front.key, NEVER), route.first, route.last, shop.slots) < NEVER
    if not open_to.any():
        if "window" in route.bounds:
            seen = np.isfinite(route.bounds["window"]).any()
            return "window", (
                "no recoat window of the layer below is long enough for it"
                if seen
                else "the layer below has no recoat window"
            )
        if "hard" in route.bounds and not np.isfinite(route.bounds["hard"]).any():
            return "hard", "the layer below does not get hard enough to be worked on"
        return "hours", "the planned days end before it could begin"
    for name, slots in route.allowed.items():
        open_to = open_to & slots
        if not open_to.any():
            reason = _BLOCKED[name]
            if "window" in route.bounds:
                return "window", f"while the recoat window is open, {reason}"
            return name, reason
    raise AssertionError("the route is open")
