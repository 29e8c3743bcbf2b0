"""The dose: how much catalyst or hardener one pot takes, and when the pot gels."""

from __future__ import annotations

from dataclasses import replace

from ..errors import Invalid
from ..products.cure_sheet import CureSheet
from ..products.gel_law import COLD_K, GelLaw, fit
from ..words import Text
from . import catalysed, two_part
from .limits import check_pot, check_temperature
from .pot import Dose, Others, Pot

LIMITS_ASSUMED = "The sheet has no percent limits: the trade's 1 to 2 % are assumed."


def dose(pot: Pot, sheet: CureSheet, law: GelLaw, *, others: Others = tuple) -> Dose:
    """Dose one pot.

    Args:
        sheet: of the resin and its partner. law: its gel law. others: the resin's other partners.

    Raises:
        TooCold, TooHot: outside the sheet's temperatures for laying up.
        PeroxideLimit: more of this peroxide than any resin may have.
        OutsideLimits: a percent outside the limits, a pot over the greatest or too small to
            be dosed inside the limits, a ratio changed.
        CureSheetMissing: a density that a ratio by volume needs.
        Invalid: no resin, no time; not exactly one of target and percent; or a product that
            takes no dose.
    """
    if pot.resin <= 0 or (pot.target_gel is not None and pot.target_gel <= 0):
        raise Invalid("A pot needs some resin, and time to gel.", advice="Give both over zero.")
    check_temperature(pot, sheet)
    if sheet.mix.kind == "one_part":
        raise Invalid(
            "A one-part product is ready to use: it takes no catalyst.",
            advice="Lay it up as it is.",
        )
    by_kind = two_part.dose if sheet.mix.kind == "two_part" else catalysed.dose
    answer = by_kind(pot, sheet, law, others)
    check_pot(pot, sheet, answer.mass)
    return replace(answer, warnings=_warnings(answer, pot, sheet, others))


def _warnings(answer: Dose, pot: Pot, sheet: CureSheet, others: Others) -> tuple[Text, ...]:
    warnings = list(answer.warnings)
    if pot.filled or pot.temperature < COLD_K:
        warnings.append("Filled or cold: the gel time is less sure; gel a cup first.")
    if answer.extrapolated:
        warnings.append("Beyond the sheet's own gel times: extrapolated.")
    if sheet.mix.kind == "catalysed" and sheet.limits_assumed:
        warnings.append(LIMITS_ASSUMED)
    if answer.working_time <= 0:
        more = more_time(sheet, pot.temperature, others)
        warnings.append(f"It may gel while it is stirred. For more time: {more}.")
    return tuple(warnings)


def more_time(sheet: CureSheet, T: float, others: Others) -> str:
    """How to get more time before a mix gels, in words.

    A two-part product has one ratio, so the advice is never less hardener but a slower one.

    Args:
        T: of the mix, K. others: the resin's other partners.
    """
    if sheet.mix.kind != "two_part":
        return "less catalyst, a longer gel time, or a cooler hour"
    gel = fit(sheet.gel_points).gel_time(T, None)
    slower = [
        other.code
        for other in others()
        if other.sheet.mix.kind == "two_part"
        and fit(other.sheet.gel_points).gel_time(T, None) > gel
    ]
    named = f": {', '.join(slower)}" if slower else ""
    return f"a cooler hour, a smaller pot, or a slower hardener{named}"
