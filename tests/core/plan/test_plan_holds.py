"""A plan holds: laid up by it, each next layer goes on a green one, in 95 of 100.

The layers of a drawn world gel and cure by the budget's own parts (JCGM 101:2008: drawn, not
summed), in a bay that is anywhere inside what was said of it.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, time

import numpy as np
import pytest
from cureyard_service.core.arrays import Floats
from cureyard_service.core.cure.clocks import Doubt
from cureyard_service.core.plan.chain import Plan, plan
from cureyard_service.core.plan.routes import Shop
from cureyard_service.core.plan.shop_hours import ShopHours
from cureyard_service.core.products import budget
from cureyard_service.core.products.cure_sheet import GelPoint, StageTime
from cureyard_service.core.products.evidence import R

from ..makers import EPOXY, HOUR, MIN, kelvin
from .shops import ALL_DAYS, MONDAY, ZONE, lay, shop

DRAWS = 4000
SLOW = replace(
    EPOXY,
    surface="plain",
    cure_min=None,
    apply_min=None,
    gel_points=(GelPoint(kelvin(20), None, 30 * MIN, 30 * MIN),),
    stages=(("recoat_opens", StageTime(3 * HOUR)), ("recoat_closes", StageTime(24 * HOUR))),
)
"""An epoxy of 3 to 24 h at 20 °C."""
DAY = ShopHours(ALL_DAYS, time(7), time(19), ZONE)
SEVEN = datetime.combine(date(2026, 3, 23), time(7), ZONE).timestamp()


def tent(kelvins: float) -> Shop:
    """A tent at a steady 20 °C, known to so many kelvins, worked in from 7 to 19."""
    held = shop(20, 20, hours=DAY, start=SEVEN)
    return replace(held, doubt=Doubt.steady(kelvins).of_bonds(2))


def three(kelvins: float) -> Plan:
    """Three layers of half an hour each in the tent."""
    steps = [lay(f"Layer {n}", SLOW, work=30, abrade=None) for n in (1, 2, 3)]
    return plan(steps, tent(kelvins))


def test_three_layers_of_a_slow_epoxy_go_on_in_one_day() -> None:
    """At a steady 20 ± 0.5 °C, from 7 to 19, each inside the window of the one below."""
    found = three(0.5)
    days = {datetime.fromtimestamp(step.lay, ZONE).date() for step in found.steps}
    assert days == {date(2026, 3, 23)}
    assert found.abrades == 0
    assert MONDAY - HOUR == SEVEN


@pytest.mark.parametrize("kelvins", [0.5, 2.0])
def test_a_plan_holds_in_95_of_100(kelvins: float) -> None:
    """Both bonds of one part together, whose layers share the lot and the thermometer."""
    held = _green(three(kelvins), kelvins)
    assert held.mean() >= 0.95
    assert held.mean() < 1.0


def _green(found: Plan, kelvins: float) -> Floats:
    """For each draw, whether each layer lay green while the next went on: 1 or 0."""
    rng = np.random.default_rng(14)
    heat = kelvin(20) + rng.uniform(-kelvins, kelvins, DRAWS)
    E = rng.uniform(40e3, 60e3, DRAWS)
    quicker = np.exp(-E / R * (1 / heat - 1 / kelvin(20)))
    shared = rng.normal(0, np.hypot(np.hypot(budget.SHEET, budget.PAIR), budget.LOT), DRAWS)
    green = np.ones(DRAWS)
    for below, above in zip(found.steps, found.steps[1:], strict=False):
        S = shared + rng.normal(0, budget.POT, DRAWS)
        follows = rng.uniform(0.5, 1.0, DRAWS)
        opens, closes = (
            hours * HOUR / quicker * np.exp(follows * S + rng.normal(0, budget.LATER, DRAWS))
            for hours in (3, 24)
        )
        ready = below.end + opens <= above.lay
        spread = above.end <= below.lay + closes
        green *= ready & spread
    return green
