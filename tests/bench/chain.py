"""The chain plan, against one pass that only says which slots can be reached."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from functools import partial
from itertools import pairwise
from pathlib import Path

import numpy as np
from cureyard_service.core.plan.chain import plan
from cureyard_service.core.plan.reach import NEVER
from cureyard_service.core.plan.routes import Front, Route, Shop, routes
from cureyard_service.core.plan.steps import Lay
from cureyard_service.core.products.cure_sheet import StageTime

from ..core.makers import MIN
from ..core.plan.shops import PLAIN, lay, shop
from .harness import Row, Scale, compared, timed

DAYS, SLOT_S = 14, 300
SLOTS = DAYS * 86_400 // SLOT_S
QUICK = replace(
    PLAIN, stages=(("recoat_opens", StageTime(30 * MIN)), ("sandable", StageTime(90 * MIN)))
)
"""A layer that lets eighty steps fit into a fortnight's working hours."""


def rows(scale: Scale, folder: Path) -> Iterator[Row]:
    """Twenty steps in a fortnight, and four times as many; each from nothing worked out."""
    n = scale.n(20, 5)
    where = f"{DAYS} days of {SLOTS:,} slots"
    few, many = (timed(partial(_planned, _steps(count))) for count in (20, 80))
    floor = timed(_reachability(_steps(20), _shop()))
    yield compared(
        f"chain plan, 20 steps, {where}", "one NumPy reachability pass, same slots and edges", 30.0,
        few, floor, n,
    )  # fmt: skip
    yield compared(f"chain plan, 80 steps, {where}", "20 steps", 6.0, many, few, n)


def _planned(steps: Sequence[Lay]) -> None:
    plan(steps, _shop())


def _steps(count: int) -> list[Lay]:
    """Layers of four kinds in turn, each with abrading where its window is missed."""
    return [lay(f"Ply {n}", QUICK, work=15 + n % 4, abrade=15) for n in range(count)]


def _shop() -> Shop:
    return shop(slot=SLOT_S, slots=SLOTS)


def _reachability(steps: Sequence[Lay], where: Shop) -> Callable[[], None]:
    """The pass, its edges worked out beforehand."""
    edges = [_edges(below, step, where) for below, step in pairwise(steps)]

    def once() -> None:
        reached = np.ones(where.slots, bool)
        for ways in edges:
            reached = np.logical_or.reduce([_reach(reached, way) for way in ways])
        if not reached.any():
            raise RuntimeError("the floor reaches nothing")

    return once


def _edges(below: Lay, step: Lay, where: Shop) -> list[Route]:
    begin = where.moments
    keys = np.zeros(where.slots, np.int64)
    front = Front(keys, begin, begin + below.length, where.windows(below.layer))
    return routes(front, step, where)


def _reach(reached: np.ndarray, way: Route) -> np.ndarray:
    """The slots that some reached one leads to, and that are allowed."""
    here = reached & (way.first <= way.last)
    size = len(reached) + 1
    starts = np.bincount(way.first[here], minlength=size)
    ends = np.bincount(way.last[here] + 1, minlength=size)
    return (np.cumsum(starts - ends)[:-1] > 0) & (way.cost < NEVER)
