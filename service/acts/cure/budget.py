"""Why a layup's moments are as unsure as they are, and what could be measured to know better."""

from __future__ import annotations

from ...core.cure import why
from ...core.cure.clocks import Doubt
from ...core.cure.forecast import milestones
from ...core.products.budget import Parts
from ...core.products.evidence import Cup
from .budget_views import BudgetView, show_budget
from .watch import Watched

STAGES = ("gel", "recoat_opens", "recoat_closes", "sandable", "full_cure")
FROM_MIXING = ("gel", "recoat_closes")
"""The stages that are counted from the mixing; the others from the end of application."""


def budget_of(watched: Watched) -> list[BudgetView]:
    """The budget of each milestone of a layup that has both ends of its band.

    What cures by moisture has none: its one spread has no parts.
    """
    if watched.moisture is not None:
        return []
    return [found for stage in STAGES if (found := _of_stage(watched, stage)) is not None]


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
    return show_budget(stage, width, may_test, law.parts, watched.doubt)
