"""The chain plan: when each step begins, so that the whole is finished first.

Steps follow one another on one part. A layer goes on inside the recoat window of the one
below, all of it, from its latest opening to its earliest closing; or, past it, once that is
hard, after abrading. Hands work in the shop's hours, a step in one go. Of all ways that
finish first the plan takes one with the fewest abrades, and of those one with the least
night work.

It is exact on its slots: a layer or work begins at a multiple of the slot, and for every
such beginning the cheapest way there is known before the next step is looked at (dynamic
programming: a window depends on its own layer's beginning alone). To take the earliest slot
each time would not do: a window that opens at night is lost.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import inf

import numpy as np

from ..cure.recoat import Windows
from . import why as chain_why
from .reach import NEVER, cheapest
from .routes import ABRADE, Front, Route, Shop, routes
from .steps import Ground, Hold, Lay, Step, Wait


@dataclass(frozen=True)
class Planned:
    """One step of a plan; moments in epoch s.

    Attributes:
        begin: of the hands' work, abrading included. lay: when the step itself is begun.
        end: of the step. abrade: s of abrading, 0 without.
        opens, closes: the recoat window of a layer; None without.
        bound: what kept it from beginning earlier, one of `chain_why.BOUNDS`.
    """

    step: Step
    begin: float
    lay: float
    end: float
    abrade: float
    opens: float | None
    closes: float | None
    bound: str


@dataclass(frozen=True)
class Plan:
    """The steps in their order, when the last is done (epoch s), abrades, s of night work."""

    steps: tuple[Planned, ...]
    finish: float
    abrades: int
    night: int


def plan(steps: Sequence[Step], shop: Shop, ground: Ground | None = None) -> Plan:
    """The plan of a chain that finishes first, then with fewest abrades, then least night work.

    Args:
        ground: the layer that the first step goes on; None for a fresh face.

    Raises:
        NoPlan: none holds within the shop's slots; it says which step can't be reached, why.
    """
    fronts, ways = [_first(shop, ground)], []
    for number, step in enumerate(steps):
        ways.append([] if isinstance(step, Wait | Hold) else routes(fronts[-1], step, shop))
        fronts.append(_after(fronts[-1], number, step, ways[-1], shop))
    last = fronts[-1]
    finish = float(last.end[last.key < NEVER].min())
    at = int(np.where(last.end == finish, last.key, NEVER).argmin())
    key = int(last.key[at])
    found = []
    for number in reversed(range(len(steps))):
        before, after = fronts[number : number + 2]
        at, planned = _back(steps[number], before, after, ways[number], at, shop)
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


def _after(front: Front, number: int, step: Step, ways: list[Route], shop: Shop) -> Front:
    """The front once a step is done, by whichever of its ways is cheapest."""
    if isinstance(step, Wait):
        return Front(front.key, front.end, front.end + step.length, front.below)
    if isinstance(step, Hold):
        return Front(front.key, front.end, np.maximum(front.end, step.until), front.below)
    reached = [cheapest(front.key, way.first, way.last, shop.slots) + way.cost for way in ways]
    key = np.minimum(np.minimum.reduce(reached), NEVER)
    if not (key < NEVER).any():
        raise chain_why.why_not(number, front, step, ways, shop)
    below = shop.windows(step.layer) if isinstance(step, Lay) else None
    return Front(key, shop.moments, shop.moments + step.length, below)


def _back(
    step: Step, before: Front, after: Front, ways: list[Route], at: int, shop: Shop
) -> tuple[int, Planned]:
    """A step that begins at an entry of its front, and the entry before that leads there."""
    begin, end = float(after.begin[at]), float(after.end[at])
    if isinstance(step, Wait | Hold):
        return at, Planned(step, begin, begin, end, 0.0, None, None, "last-step")
    came, way = _came(before, ways, int(after.key[at]), at)
    opens, closes = None, None
    if isinstance(step, Lay):
        shown = shop.windows(step.layer)
        if shown.opens[at] < shown.closes[at]:
            opens, closes = float(shown.opens[at]), float(shown.closes[at])
    why = chain_why.bound(way, came, at)
    return came, Planned(step, begin - way.before, begin, end, way.before, opens, closes, why)


def _came(before: Front, ways: list[Route], key: int, at: int) -> tuple[int, Route]:
    """The earliest entry that leads to a slot at its cheapest, and by which way."""
    for way in ways:
        leads = (way.first <= at) & (at <= way.last) & (before.key + way.cost[at] == key)
        if leads.any():
            return int(leads.argmax()), way
    raise AssertionError("what was reached has no way back")
