"""The dose of a two-part pot: the sheet's one ratio, and no other."""

from __future__ import annotations

from dataclasses import replace
from math import ceil

from ..amounts.measuring import gram_step, ml_step, nearest
from ..amounts.quantities import ZERO_C
from ..amounts.sentences import heat
from ..errors import CureSheetMissing, OutsideLimits
from ..products.cure_sheet import CureSheet
from ..products.gel_law import GelLaw
from ..words import say
from .pot import Dose, Others, Pot, timed

HOT_EPOXY_K = ZERO_C + 32
"""Above 32 °C (90 °F) the listed pot life of an epoxy is halved (US Army TM 1-1500-204-23-1 and
-23-11)."""
RATIO_TOLERANCE = 0.02
"""The hardener is weighed to within 2 % (common practice, no source)."""


def dose(pot: Pot, sheet: CureSheet, law: GelLaw, others: Others) -> Dose:
    """Dose a two-part pot.

    Raises:
        OutsideLimits: a target or a percent was given. CureSheetMissing: a density that a ratio
        by volume needs.
    """
    if pot.target_gel is not None or pot.percent is not None:
        codes = [other.code for other in others() if other.sheet != sheet]
        choice = f" Hardeners with a sheet: {', '.join(codes)}." if codes else ""
        raise OutsideLimits(
            "A two-part product has one ratio; more hardener does not make it faster.",
            advice=f"For another gel time take a slower or faster hardener.{choice}",
        )
    ratio = _ratio(pot, sheet)
    exact = pot.resin * ratio
    mass = nearest(exact, gram_step(exact))
    volume = exact / pot.catalyst_density * 1e6 if pot.catalyst_density else None
    answer = timed(pot, sheet, law, None)
    is_hot = pot.chemistry == "epoxy" and pot.temperature > HOT_EPOXY_K
    left = 0.5 if is_hot else 1.0
    hot = say("Above {} the listed pot life is halved.", heat(HOT_EPOXY_K, 0))
    within = f"Weigh both, the hardener to ±{RATIO_TOLERANCE * exact / 1e3:.1f} g."
    return replace(
        answer,
        percent=100 * ratio,
        percent_as_measured=100 * mass / pot.resin,
        mass=mass,
        volume=None if volume is None else nearest(volume, ml_step(volume)),
        pot_at_most=answer.pot_at_most * left,
        working_time=answer.working_time * left,
        working_likely=answer.working_likely * left,
        warnings=(hot,) if is_hot else (),
        advice=(within, *filter(None, [_off_ratio(mass, exact)])),
    )


def _ratio(pot: Pot, sheet: CureSheet) -> float:
    """Mass of hardener over mass of resin."""
    resin_part, hardener_part = sheet.mix.parts or (1.0, 0.0)
    ratio = hardener_part / resin_part
    if sheet.mix.by != "volume":
        return ratio
    if not pot.resin_density or not pot.catalyst_density:
        raise CureSheetMissing(
            "A ratio by volume needs both densities to be weighed out.",
            advice="Set 'density' on the resin and on the hardener.",
        )
    return ratio * pot.catalyst_density / pot.resin_density


def _off_ratio(mass: int, exact: float) -> str:
    """Advice where the scale rounds the hardener (mg) off its ratio; empty where it does not."""
    if abs(mass - exact) <= RATIO_TOLERANCE * exact:
        return ""
    least = ceil(gram_step(exact) / 2 / RATIO_TOLERANCE / 1e4) * 10
    return f"Too little to weigh to ±2 %: mix so much that the hardener is at least {least} g."
