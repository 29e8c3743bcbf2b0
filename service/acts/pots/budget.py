"""Why a pot's gel is as unsure as it is."""

from __future__ import annotations

from dataclasses import replace

from ...core.cure import why
from ...core.cure.clocks import Doubt
from ...core.pots.pot import Dose
from ...core.products.budget import Parts
from ...core.products.gel_law import GelLaw
from ..cure.budget_views import BudgetView, show_budget
from .look_up import Asked
from .work_out import pot_of


def budget_of_gel(pot: Asked, dose: Dose) -> BudgetView | None:
    """The budget of the gel of a pot; None where its sheet has no gel time."""
    lot, sheet, asked = pot.lot.id if pot.lot else None, pot.sheet, pot_of(pot)
    percent = dose.percent_as_measured * pot.strength if sheet.mix.kind == "catalysed" else None

    def width_of(law: GelLaw, doubt: Doubt) -> float | None:
        heat = replace(asked, belief=law.belief(lot), uncertainty=doubt.measured)
        span = heat.span(sheet, law, percent)
        return why.ratio(0.0, span.earliest, span.latest)

    def width(parts: Parts, doubt: Doubt) -> float | None:
        return width_of(pot.law.refitted(parts), doubt)

    def cupped(parts: Parts, doubt: Doubt) -> float | None:
        also = () if lot is None else (pot.law.expected_cup(lot),)
        return width_of(pot.law.refitted(parts, also), doubt)

    if not sheet.gel_points:
        return None
    doubt = Doubt.steady(pot.heat.uncertainty)
    return show_budget("gel", width, None if lot is None else cupped, pot.law.parts, doubt)
