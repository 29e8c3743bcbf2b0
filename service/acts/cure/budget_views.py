"""How it is shown why moments are so unsure, and what could be measured to know better."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ...core.amounts.views import View
from ...core.cure import why
from ...core.cure.why import Measure, Part
from ...core.frozen import frozen
from ...core.products.budget import Parts

if TYPE_CHECKING:
    from ...core.cure.clocks import Doubt


@frozen
class ShareView(View):
    """A part of what makes a moment unsure, in percent of the whole."""

    part: Part
    percent: float


@frozen
class HelpView(View):
    """A measurement, and by how many percent it makes the band narrower."""

    measure: Measure
    percent: float


@frozen
class BudgetView(View):
    """What makes one moment unsure, the greatest part first, and what would help."""

    of: str
    shares: list[ShareView]
    would_help: list[HelpView]


def show_budget(
    of: str, width: why.Width, cupped: why.Width | None, parts: Parts, doubt: Doubt
) -> BudgetView | None:
    """A budget, for an answer; None where the band has no end."""
    shares = why.shares(width, parts, doubt)
    helps = why.would_help(width, cupped, parts, doubt)
    if not shares:
        return None
    return BudgetView(
        of,
        [ShareView(each.part, round(each.percent, 1)) for each in shares],
        [HelpView(each.measure, round(each.percent, 1)) for each in helps],
    )
