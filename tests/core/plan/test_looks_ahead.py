"""A plan is looked for in the first days, in the slots that hands work in: it misses nothing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields, replace
from datetime import time
from typing import Any

import pytest
from cureyard_service.core.cure.layer import Layer
from cureyard_service.core.errors import NoPlan
from cureyard_service.core.plan.chain import FIRST_LOOK_S, plan, whole
from cureyard_service.core.plan.routes import Shop
from cureyard_service.core.plan.shop_hours import ShopHours
from cureyard_service.core.plan.starts import Windows, windows
from cureyard_service.core.plan.steps import Hold, Step
from hypothesis import given, settings
from hypothesis import strategies as st

from .shops import ALL_DAYS, MONDAY, ZONE, chains, lay, shifts, shop


class EverySlot(Shop):
    """A shop that works every slot's windows out, whether hands are there or not."""

    def windows(self, layer: Layer) -> Windows:
        """The windows of a layer begun in each slot."""
        return windows(layer, self.trace, self.doubt, self.moments)


def plainly(steps: Sequence[Step], where: Shop) -> list[Any]:
    """The plan of all slots at once, or the refusal."""
    facts = {each.name: getattr(where, each.name) for each in fields(Shop)}
    return told(whole, steps, EverySlot(**facts))


def told(planner: Any, steps: Sequence[Step], where: Shop) -> list[Any]:
    """Every moment and reason of a plan, or the words of its refusal."""
    try:
        found = planner(steps, where)
    except NoPlan as refusal:
        return [refusal.detail, refusal.advice]
    rows = [
        (each.begin, each.lay, each.end, each.abrade, each.opens, each.closes, each.bound)
        for each in found.steps
    ]
    flat = [fact for row in rows for fact in row]
    return [*flat, found.finish, found.abrades, found.night]


def same(some: list[Any], other: list[Any]) -> bool:
    """Whether two plans are the same: the windows to a tenth of a second."""
    return len(some) == len(other) and all(
        one == two or (isinstance(one, float) and one == pytest.approx(two, rel=0, abs=0.1))
        for one, two in zip(some, other, strict=True)
    )


@settings(max_examples=40)
@given(
    chains, shifts, st.sampled_from([(21, 16), (16, 8), (24, 20)]),
    st.sampled_from([0.5, 2.0]),
)  # fmt: skip
def test_it_finds_the_plan_of_all_slots(
    steps: list[Step], hours: ShopHours, air: tuple[float, float], kelvins: float
) -> None:
    """Whatever the steps, the hours and the air; refusals in the same words."""
    where = shop(*air, hours=hours, uncertainty=kelvins)
    assert same(told(plan, steps, where), plainly(steps, where))


def test_a_plan_that_ends_after_the_first_days_is_found() -> None:
    """Eight layers take three days; and a survey is far ahead."""
    layers = [lay(f"Ply {n}") for n in range(8)]
    ends = [
        plan(steps, shop()).finish - MONDAY
        for steps in (layers[:1], layers, [*layers[:1], Hold("Survey", MONDAY + 10 * 86_400)])
    ]
    assert ends[0] < FIRST_LOOK_S < ends[1] < ends[2] == 10 * 86_400


def test_nobody_works_in_the_first_days() -> None:
    """From Monday on, with hours on Thursdays alone: it begins on the Thursday."""
    hours = replace(ShopHours(ALL_DAYS, time(8), time(17), ZONE), days=frozenset({3}))
    assert plan([lay()], shop(hours=hours)).steps[0].lay == MONDAY + 3 * 86_400
