"""By when the next layer is begun, so that it is spread before the window below it shuts."""

from __future__ import annotations

from datetime import time
from decimal import Decimal
from typing import Any

import pytest
from cureyard_service.acts.plan.chain import plan_chain
from cureyard_service.acts.plan.words import PlannedView

from ..sample_yard import NOW, H

pytestmark = pytest.mark.usefixtures("books")

HOURS = {"days": ["mon", "tue", "wed", "thu", "fri", "sat", "sun"], "begin": time(0)}


def planned(*steps: dict[str, Any]) -> list[PlannedView]:
    """The steps of a plan in the shed, around the clock."""
    hours = {**HOURS, "finish": time(0), "closed": []}
    return plan_chain(now=NOW, bay="SHED", hours=hours, steps=list(steps)).steps


def layer(title: str, hours: float) -> dict[str, Any]:
    """A layer that takes so many hours to lay."""
    return {
        "kind": "cure", "title": title, "product": "LAM", "catalyst_percent": Decimal(2),
        "work": Decimal(int(hours * H)),
    }  # fmt: skip


def test_a_layer_is_begun_so_long_before_the_window_shuts_as_it_takes() -> None:
    """Whatever is waited for in between; the last has its window alone, and work needs none."""
    wait = {"kind": "wait", "title": "Tea", "wait": Decimal(600)}
    work = {"kind": "work", "title": "Grind", "work": Decimal(2 * H)}
    first, tea, second, last, grind = planned(
        layer("One", 1), wait, layer("Two", 2), layer("Three", 0.5), work
    )
    assert None not in [each.recoat_closes for each in (first, second, last)]
    assert first.next_by == first.recoat_closes - 2 * H
    assert second.next_by == second.recoat_closes - 0.5 * H
    assert last.next_by == last.recoat_closes
    assert tea.next_by is None
    assert grind.next_by is None
    assert second.start <= first.next_by
