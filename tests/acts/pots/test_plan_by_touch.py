"""A plan by touch on a layup that lies there."""

from __future__ import annotations

from datetime import time
from decimal import Decimal
from typing import Any

import pytest
from cureyard_service.acts.plan.chain import PlanView, plan_chain
from cureyard_service.core.errors import Invalid

from .. import sample_yard as yard
from ..sample_yard import NOW, H

pytestmark = pytest.mark.usefixtures("books")

WEEK = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"]


def planned(after: int, **facts: Any) -> PlanView:
    """One more layer on it."""
    hours = {"days": WEEK, "begin": time(0), "finish": time(0), "closed": []}
    step = {
        "kind": "cure", "title": "Next", "product": "LAM", "catalyst_percent": Decimal(2),
        "work": Decimal(1800),
    }  # fmt: skip
    return plan_chain(now=NOW, bay="SHED", hours=hours, steps=[step], after=after, **facts)


def test_it_begins_in_the_likely_window() -> None:
    """Earlier than the sure one, and it says that a hand decides."""
    below = yard.laid(product="LAM", catalyst_percent=Decimal(2), now=NOW - H)
    sure, likely = planned(below.id), planned(below.id, touch=True)
    assert likely.steps[0].start < sure.steps[0].start
    assert any("By touch" in str(word) for word in likely.warnings)


def test_nothing_is_planned_by_touch_on_what_may_carry_load() -> None:
    """The job of the layup below says so."""
    below = yard.laid(product="LAM", catalyst_percent=Decimal(2), job="S-1", now=NOW - H)
    with pytest.raises(Invalid, match="may carry load"):
        planned(below.id, touch=True)
