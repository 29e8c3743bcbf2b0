"""Why a layup's moments are as unsure as they are, and what could be measured to know better."""

from __future__ import annotations

from dataclasses import dataclass

from ...core.amounts.views import View
from ...core.cure import why
from ...core.cure.clocks import Doubt
from ...core.cure.forecast import milestones
from ...core.cure.why import Measure, Part
from ...core.products.budget import Parts
from ...core.products.evidence import Cup
from ..bays import air
from .watch import Watched

STAGES = ("gel", "recoat_opens", "recoat_closes", "sandable", "full_cure")
FROM_MIXING = ("gel", "recoat_closes")
"""The stages that are counted from the mixing; the others from the end of application."""


@dataclass(frozen=True)
class ShareView(View):
    """A part of what makes a moment unsure, in percent of the whole."""

    part: Part
    percent: float


@dataclass(frozen=True)
class HelpView(View):
    """A measurement, and by how many percent it makes the band narrower."""

    measure: Measure
    percent: float


@dataclass(frozen=True)
class BudgetView(View):
    """What makes one moment unsure, the greatest part first, and what would help."""

    of: str
    shares: list[ShareView]
    would_help: list[HelpView]


def budget_of(watched: Watched) -> list[BudgetView]:
    """The budget of each milestone of a layup that has both ends of its band."""
    return [found for stage in STAGES if (found := _of_stage(watched, stage)) is not None]


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


def _of_stage(watched: Watched, stage: str) -> BudgetView | None:
    law, lot = watched.layer.law, watched.layer.pots[0].lot

    def width_of(parts: Parts, doubt: Doubt, also: tuple[Cup, ...]) -> float | None:
        layer = watched.layer.refitted(law.refitted(parts, also))
        found = milestones(layer, watched.trace, doubt)[stage]
        since = layer.started if stage in FROM_MIXING else layer.finished
        return why.ratio(since, found.earliest, found.latest)

    def width(parts: Parts, doubt: Doubt) -> float | None:
        return width_of(parts, doubt, ())

    def cupped(parts: Parts, doubt: Doubt) -> float | None:
        return width_of(parts, doubt, () if lot is None else (law.expected_cup(lot),))

    may_test = cupped if lot is not None and law.points else None
    return show_budget(stage, width, may_test, law.parts, air.doubt(watched.bay))
