"""The dose of a catalysed pot: for a wanted gel time, or by percent of resin mass."""

from __future__ import annotations

from dataclasses import replace
from math import ceil

from ..amounts.measuring import gram_step, measured, ml_step
from ..amounts.sentences import at_least
from ..errors import Invalid, OutsideLimits
from ..products.cure_sheet import PERCENT_NEVER_OVER, CureSheet
from ..products.gel_law import EXTRAPOLATED_K, GelLaw, fit
from ..words import Text, say
from .limits import ANOTHER_PEROXIDE, check_percent, percent_limits
from .pot import Dose, Other, Others, Pot, timed

LEAST_VOLUME_UL = 1000
"""Less than 1 mL is too little to measure well (common practice, no source)."""
GREATEST_SHIFT = 0.05
"""Rounding may change the dose by up to 5 % (common practice, no source)."""


def dose(pot: Pot, sheet: CureSheet, law: GelLaw, others: Others) -> Dose:
    """Dose a catalysed pot, never outside the sheet's limits.

    Raises:
        Invalid: not exactly one of target and percent. PeroxideLimit, OutsideLimits: as
        `dosing.dose`.
    """
    if (pot.target_gel is None) == (pot.percent is None):
        raise Invalid(
            "Give either a wanted gel time or a catalyst percent.",
            advice="Leave the other out.",
        )
    low, high = percent_limits(sheet, pot.strength)
    limited_by, advice = None, ""
    if pot.percent is not None:
        percent = pot.percent
    else:
        wanted = (
            law.percent_for(pot.target_gel or 0, pot.temperature, pot.factor(law)) / pot.strength
        )
        percent = min(max(wanted, low), high)
        limited_by, advice = _limit(wanted, low, high)
    check_percent(
        percent, sheet, pot.strength, lambda: _alternatives(percent, pot, sheet, law, others)
    )
    mass, volume = _measured(percent, pot, low, min(high, PERCENT_NEVER_OVER))
    weighed = 100 * mass / pot.resin
    return replace(
        timed(pot, sheet, law, weighed * pot.strength),
        percent=percent,
        percent_as_measured=weighed,
        mass=mass,
        volume=volume,
        limited_by=limited_by,
        advice=tuple(a for a in (advice, _least_pot(percent, mass, volume, pot)) if a),
    )


def _limit(wanted: float, low: float, high: float) -> tuple[str | None, str]:
    """The limit that a wanted percent runs into, and the advice."""
    if wanted > high:
        return (
            "catalyst_percent_max",
            "Catalyst alone can't make it gel that fast: warm the bay and the resin, or wait "
            "longer.",
        )
    if wanted < low:
        return (
            "catalyst_percent_min",
            "Less catalyst can't make it gel that slowly: mix smaller pots, spread out at once, "
            "or work in a cooler hour.",
        )
    return None, ""


def _measured(percent: float, pot: Pot, low: float, high: float) -> tuple[int, int | None]:
    """The catalyst in mg and µL, rounded inside the limits (percent of resin mass)."""
    exact = pot.resin * percent / 100
    mass = measured(exact, gram_step, pot.resin, low, high)
    if mass is None:
        raise OutsideLimits(
            "A pot this small can't be dosed inside the limits on a scale that shows 0.1 g.",
            advice=f"Mix at least {_least_resin(percent, pot)} g of resin.",
            least=low,
            greatest=high,
        )
    if not pot.catalyst_density:
        return mass, None
    per_ul = pot.catalyst_density / 1e6
    return mass, measured(exact / per_ul, ml_step, pot.resin / per_ul, low, high)


def _alternatives(percent: float, pot: Pot, sheet: CureSheet, law: GelLaw, others: Others) -> Text:
    """Advice on how to get the gel time without too much peroxide."""
    target = pot.target_gel or law.gel_time(
        pot.temperature, percent * pot.strength, pot.factor(law)
    )
    codes = [other.code for other in others() if _serves(other, target, pot)]
    advice = f"{ANOTHER_PEROXIDE}: {', '.join(codes)}" if codes else ANOTHER_PEROXIDE
    low, _ = percent_limits(sheet, pot.strength)
    if low > PERCENT_NEVER_OVER:
        return f"{advice}."
    warm = law.temperature_for(target, PERCENT_NEVER_OVER * pot.strength, pot.factor(law))
    if warm > (sheet.temperature_max or law.temperatures[1] + EXTRAPOLATED_K):
        return f"{advice}, or warm the shop and accept a longer gel time."
    return say(
        "{}; or warm the bay and the resin to {}, where {} % gels in that time.",
        advice,
        at_least(warm),
        f"{PERCENT_NEVER_OVER:g}",
    )


def _serves(other: Other, target: float, pot: Pot) -> bool:
    """Whether another peroxide gives a gel time (s) without more than any resin may have."""
    if other.sheet.mix.kind != "catalysed":
        return False
    low, high = percent_limits(other.sheet, other.strength)
    law = fit(other.sheet.gel_points)
    wanted = law.percent_for(target, pot.temperature, pot.factor(law)) / other.strength
    return min(max(wanted, low), high) <= PERCENT_NEVER_OVER


def _least_pot(percent: float, mass: int, volume: int | None, pot: Pot) -> str:
    """Advice for a dose too small to be measured well; empty when it is not."""
    exact = pot.resin * percent / 100
    small = volume is not None and volume < LEAST_VOLUME_UL
    if not small and abs(mass - exact) <= GREATEST_SHIFT * exact:
        return ""
    return f"Too little to measure well: mix at least {_least_resin(percent, pot)} g of resin."


def _least_resin(percent: float, pot: Pot) -> int:
    """Grams of resin, in tens, whose catalyst can be measured well."""
    least_mg = max(50 / GREATEST_SHIFT, LEAST_VOLUME_UL * (pot.catalyst_density or 0) / 1e6)
    return ceil(least_mg / percent * 100 / 1e4) * 10
