"""The chain plan: when each step of a repair begins, so that the whole is finished earliest.

Steps follow one another on one part. A layer goes on inside the recoat window of the layer below
(see `cure.recoat`), or past that window, once the layer below is hard, after abrading. Hands work
in the shop's hours, and do a step in one go. Of all plans that finish earliest, this one has the
fewest abrades, and of those the least night work.

Only the first days are looked at, and then more of them until a plan ends within them: one that
ends earlier lies within them as well.

The plan is exact on its slots. A layer or work begins at a multiple of the slot. For every such
beginning the cheapest way there is found before the next step is looked at (dynamic programming; it
works because a window depends only on when its own layer began). Taking the earliest slot for each
step would fail, as it loses the windows that open at night.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import inf

from .. import arrays as np
from ..errors import NoPlan
from ..frozen import frozen
from .reach import NEVER, cheapest
from .routes import ABRADE, Front, Route, Shop, routes
from .starts import Windows
from .steps import Ground, Hold, Lay, Step, Wait
from .why import bound, why_not

FIRST_LOOK_S = 2 * 86_400
"""How far ahead a plan is looked for at first."""
FARTHER = 1.2
"""By how much more than its steps need, at the pace of those that found a place."""


@frozen
class Planned:
    """One step of a plan; moments in epoch s.

    Attributes:
        begin: of the hands' work, with the abrading. lay: when the step itself begins.
        end: of the step. abrade: s of abrading, or 0.
        opens, closes: the recoat window of a layer, or None.
        bound: the reason why it does not begin earlier, one of `why.BOUNDS`.
    """

    step: Step
    begin: float
    lay: float
    end: float
    abrade: float
    opens: float | None
    closes: float | None
    bound: str


@frozen
class Plan:
    """The steps in order; the end of the last, epoch s; how many abrades; s of night work."""

    steps: tuple[Planned, ...]
    finish: float
    abrades: int
    night: int


def plan(steps: Sequence[Step], shop: Shop, ground: Ground | None = None) -> Plan:
    """The plan that finishes earliest, then has the fewest abrades, then the least night work.

    Args:
        ground: the layer that the first step goes on; None for a fresh face.

    Raises:
        NoPlan: no plan fits in the shop's slots; it says which step can't be reached, and why.
    """
    slots = max(round(FIRST_LOOK_S / shop.slot), 1)
    while slots < shop.slots:
        farther = 2.0
        try:
            found = whole(steps, shop.of(slots), ground)
        except NoPlan as refused:
            done = int(refused.pointer.rpartition("/")[2])
            farther = max(farther, FARTHER * len(steps) / done) if done else farther
        else:
            if found.finish < shop.start + slots * shop.slot:
                return found
        slots = round(slots * farther)
    return whole(steps, shop, ground)


def whole(steps: Sequence[Step], shop: Shop, ground: Ground | None = None) -> Plan:
    """As `plan`, by looking at all the shop's slots at once."""
    fronts, options = [_first(shop, ground)], []
    for number, step in enumerate(steps):
        options.append([] if isinstance(step, Wait | Hold) else routes(fronts[-1], step, shop))
        fronts.append(_after(fronts[-1], number, step, options[-1], shop))
    last = fronts[-1]
    finish = float(last.end[last.key < NEVER].min())
    at = int(np.where(last.end == finish, last.key, NEVER).argmin())
    key = int(last.key[at])
    found = []
    for number in reversed(range(len(steps))):
        before, after = fronts[number : number + 2]
        at, planned = _back(steps[number], before, after, options[number], at, shop)
        found.append(planned)
    if found[-1].bound == "last-step":
        found[-1] = replace(found[-1], bound="start")
    return Plan(tuple(reversed(found)), finish, key // ABRADE, key % ABRADE)


def _first(shop: Shop, ground: Ground | None) -> Front:
    begin = np.array([shop.start])
    below = None
    if ground is not None:
        ends = (ground.opens, ground.closes, ground.ready, inf)
        below = Windows(*(np.array([end]) for end in ends))
    return Front(np.zeros(1, np.int64), begin, begin, below)


def _after(front: Front, number: int, step: Step, options: list[Route], shop: Shop) -> Front:
    """The front after a step, by the cheapest of its routes."""
    if isinstance(step, Wait):
        return Front(front.key, front.end, front.end + step.length, front.below)
    if isinstance(step, Hold):
        return Front(front.key, front.end, np.maximum(front.end, step.until), front.below)
    reached = [cheapest(front.key, r.first, r.last, shop.slots) + r.cost for r in options]
    key = np.minimum(np.minimum.reduce(reached), NEVER)
    if not (key < NEVER).any():
        raise why_not(number, front, step, options, shop)
    below = shop.windows(step.layer) if isinstance(step, Lay) else None
    return Front(key, shop.moments, shop.moments + step.length, below)


def _back(
    step: Step, before: Front, after: Front, options: list[Route], at: int, shop: Shop
) -> tuple[int, Planned]:
    """For a step that begins at entry `at`: the entry of the front before, and the planned step."""
    begin, end = float(after.begin[at]), float(after.end[at])
    if isinstance(step, Wait | Hold):
        return at, Planned(step, begin, begin, end, 0.0, None, None, "last-step")
    came, route = _came(before, options, int(after.key[at]), at)
    opens, closes = None, None
    if isinstance(step, Lay):
        shown = shop.windows(step.layer)
        if shown.opens[at] < shown.closes[at]:
            opens, closes = float(shown.opens[at]), float(shown.closes[at])
    why = bound(route, came, at)
    return came, Planned(step, begin - route.before, begin, end, route.before, opens, closes, why)


def _came(before: Front, options: list[Route], key: int, at: int) -> tuple[int, Route]:
    """The earliest entry of the front that leads to a slot at the least cost, and its route."""
    for route in options:
        leads = (route.first <= at) & (at <= route.last) & (before.key + route.cost[at] == key)
        if leads.any():
            return int(leads.argmax()), route
    raise AssertionError("a slot was reached, but no route leads to it")
