"""The dose: how much catalyst or hardener one pot takes, and when the pot gels.

A catalysed pot is dosed for a wanted gel time or by percent of resin mass, never outside
the sheet's limits. A two-part pot has one ratio, and no other.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from math import ceil

from ..amounts import sentences as worded
from ..amounts.measuring import gram_step, measured, ml_step, nearest
from ..amounts.quantities import ZERO_C
from ..bays import heating
from ..errors import CureSheetMissing, Invalid, OutsideLimits, PeroxideLimit, TooCold, TooHot
from ..products.cure_sheet import PERCENT_NEVER_OVER, CureSheet
from ..products.gel_law import COLD_K, EXTRAPOLATED_K, GelLaw, Span, fit, gel_span

MIXING_S = 120
"""Time to stir a pot, taken off its working time (common practice, no source)."""
WORKING_SHARE = 0.6
"""Share of the earliest gel time in which it can be spread (common practice, no source)."""
HOT_EPOXY_K = ZERO_C + 32
"""Above 32 °C a listed pot life is halved (US Army manual on composite repair, 90 °F)."""
RATIO_TOLERANCE = 0.02
LEAST_VOLUME_UL = 1000
GREATEST_SHIFT = 0.05


@dataclass(frozen=True)
class Pot:
    """What is asked for.

    Attributes:
        resin: mg, the mass that the percent is of. temperature: of the resin, K.
        uncertainty: of that temperature, K.
        target_gel: wanted gel time, s; or percent: of resin mass. One of them, for a
            catalysed product; neither for a two-part one.
        factor: of the lots, measured over expected gel time.
        filled: thickened with a filler: it gels less surely.
        strength: active oxygen of the catalyst over that of the sheet's.
        resin_density, catalyst_density: mg/L, where known. mixing: s of stirring.
        chemistry: of the resin; None where the catalogue does not say.
    """

    resin: float
    temperature: float
    uncertainty: float = 1.0
    target_gel: float | None = None
    percent: float | None = None
    factor: float = 1.0
    filled: bool = False
    strength: float = 1.0
    resin_density: int | None = None
    catalyst_density: int | None = None
    mixing: float = MIXING_S
    chemistry: str | None = None


@dataclass(frozen=True)
class Other:
    """Another catalyst or hardener of the resin: its code, its sheet, and as `Pot.strength`."""

    code: str
    sheet: CureSheet
    strength: float = 1.0


Others = Callable[[], Sequence[Other]]
"""The other partners that a resin has sheets with; asked for only where words name them."""


@dataclass(frozen=True)
class Dose:
    """The answer: what to weigh, what to measure, and when it goes off.

    Attributes:
        percent: before rounding. percent_as_measured: of what is weighed.
        mass: mg, rounded to what a scale shows; volume: µL, likewise; None without a density.
        gel: the cup's. pot_at_most, working_time: s; the pot goes off sooner than the cup.
        film: s, or None where the sheet has none.
        limited_by: the limit that bound, or None.
        extrapolated: whether it lies beyond the sheet's gel times.
    """

    percent: float
    percent_as_measured: float
    mass: int
    volume: int | None
    gel: Span
    pot_at_most: float
    working_time: float
    film: float | None
    limited_by: str | None
    extrapolated: bool
    warnings: tuple[str, ...]
    advice: tuple[str, ...]


def dose(pot: Pot, sheet: CureSheet, law: GelLaw, *, others: Others = tuple) -> Dose:
    """Dose one pot.

    Args:
        sheet: of the pair. law: its gel law.

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
    _check_temperature(pot, sheet)
    if sheet.mix.kind == "one_part":
        raise Invalid(
            "A one-part product is ready to use: it takes no catalyst.",
            advice="Lay it up as it is.",
        )
    if sheet.mix.kind == "two_part":
        answer = _two_part(pot, sheet, law, others)
    else:
        answer = _catalysed(pot, sheet, law, others)
    _check_pot(pot, sheet, answer.mass)
    return _with_words(answer, pot, sheet, others)


def _check_temperature(pot: Pot, sheet: CureSheet) -> None:
    shown = worded.heat(pot.temperature)
    if sheet.apply_min is not None and pot.temperature < sheet.apply_min:
        kept = heating.with_margin(sheet.apply_min, pot.uncertainty, sheet.temperature_max)
        raise TooCold(
            f"{shown} is too cold to lay this product up: its least temperature is "
            f"{worded.heat(sheet.apply_min)}.",
            advice=f"Warm the bay and the resin to at least {worded.at_least(kept)} first, with "
            "flameless, ducted heat.",
        )
    if sheet.temperature_max is not None and pot.temperature > sheet.temperature_max:
        raise TooHot(
            f"{shown} is too hot to lay this product up: its greatest temperature is "
            f"{worded.heat(sheet.temperature_max)}.",
            advice="Wait for a cooler hour, or cool the bay and the resin.",
        )


def _check_pot(pot: Pot, sheet: CureSheet, catalyst: int) -> None:
    whole = pot.resin + catalyst if sheet.mix.kind == "two_part" else pot.resin
    greatest = sheet.greatest_pot(pot.chemistry)
    if whole <= greatest:
        return
    pots = ceil(whole / greatest)
    assumed = "" if sheet.pot_max is not None else f" ({assumed_pot(pot.chemistry)})"
    enter = "" if sheet.pot_max is not None else f" {ENTER_POT_MAX}"
    raise OutsideLimits(
        f"A pot of {worded.weight(whole)} is over the greatest, "
        f"{worded.weight(greatest)}{assumed}: it would run hot.",
        advice=f"Mix {pots} pots of {worded.weight(pot.resin / pots)} of resin, one after "
        f"another.{enter}",
        pots=pots,
    )


ENTER_POT_MAX = "A lead can enter the data sheet's own greatest pot as 'pot_max'."


def assumed_pot(chemistry: str | None) -> str:
    """What a greatest pot rests on that is not the sheet's, in words."""
    of = chemistry.replace("_", " ") if chemistry else "a resin of unknown chemistry"
    return f"assumed for {of}: the cure sheet has no pot_max"


def percent_limits(sheet: CureSheet, strength: float) -> tuple[float, float]:
    """Least and greatest percent as weighed: the sheet's, of a peroxide so strong."""
    low, high = sheet.percent_limits
    return low / strength, high / strength


def check_percent(
    percent: float, sheet: CureSheet, strength: float, would_do: Callable[[], str] | None = None
) -> None:
    """Refuse a percent of catalyst, as weighed, that is outside its limits.

    Args:
        strength: as `Pot.strength`. would_do: advice for a peroxide that is too weak.

    Raises:
        PeroxideLimit: the sheet's limits let it over what any resin may have. OutsideLimits.
    """
    low, high = percent_limits(sheet, strength)
    needed = max(percent, low)
    if high > PERCENT_NEVER_OVER and needed > PERCENT_NEVER_OVER:
        raise PeroxideLimit(
            f"It would take {needed:.3g} % of this peroxide, over {PERCENT_NEVER_OVER:g} % as "
            "weighed: that much may keep the resin from ever curing.",
            advice=would_do() if would_do else _ANOTHER + ", or warm the shop.",
            greatest=PERCENT_NEVER_OVER,
        )
    _check_percent(percent, low, high, sheet)


_ANOTHER = "Take a peroxide with more active oxygen"


def _would_do(percent: float, pot: Pot, sheet: CureSheet, law: GelLaw, others: Others) -> str:
    """What gives the gel time without more than the greatest percent of peroxide."""
    target = pot.target_gel or law.gel_time(pot.temperature, percent * pot.strength, pot.factor)
    codes = [other.code for other in others() if _serves(other, target, pot)]
    advice = f"{_ANOTHER}: {', '.join(codes)}" if codes else _ANOTHER
    low, _ = percent_limits(sheet, pot.strength)
    if low > PERCENT_NEVER_OVER:
        return f"{advice}."
    warm = law.temperature_for(target, PERCENT_NEVER_OVER * pot.strength, pot.factor)
    if warm > (sheet.temperature_max or law.temperatures[1] + EXTRAPOLATED_K):
        return f"{advice}, or warm the shop and accept a longer gel time."
    return (
        f"{advice}; or warm the bay and the resin to {worded.at_least(warm)}, where "
        f"{PERCENT_NEVER_OVER:g} % gels in that time."
    )


def _serves(other: Other, target: float, pot: Pot) -> bool:
    """Whether another peroxide gives a gel time by no more than any resin may have."""
    if other.sheet.mix.kind != "catalysed":
        return False
    low, high = percent_limits(other.sheet, other.strength)
    law = fit(other.sheet.gel_points)
    wanted = law.percent_for(target, pot.temperature, pot.factor) / other.strength
    return min(max(wanted, low), high) <= PERCENT_NEVER_OVER


def _catalysed(pot: Pot, sheet: CureSheet, law: GelLaw, others: Others) -> Dose:
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
        wanted = law.percent_for(pot.target_gel or 0, pot.temperature, pot.factor) / pot.strength
        percent = min(max(wanted, low), high)
        limited_by, advice = _limit(wanted, low, high)
    check_percent(percent, sheet, pot.strength, lambda: _would_do(percent, pot, sheet, law, others))
    high = min(high, PERCENT_NEVER_OVER)
    mass = measured(pot.resin * percent / 100, gram_step, pot.resin, low, high)
    if mass is None:
        raise OutsideLimits(
            "A pot this small can't be dosed inside the limits on a scale that shows 0.1 g.",
            advice=f"Mix at least {_least_resin(percent, pot)} g of resin.",
            least=low,
            greatest=high,
        )
    volume = None
    if pot.catalyst_density:
        per_ul = pot.catalyst_density / 1e6
        exact = pot.resin * percent / 100 / per_ul
        volume = measured(exact, ml_step, pot.resin / per_ul, low, high)
    weighed = 100 * mass / pot.resin
    answer = _answer(pot, sheet, law, weighed * pot.strength)
    return replace(
        answer,
        percent=percent,
        percent_as_measured=weighed,
        mass=mass,
        volume=volume,
        limited_by=limited_by,
        advice=tuple(a for a in (advice, _least_pot(percent, mass, volume, pot)) if a),
    )


def _check_percent(percent: float, low: float, high: float, sheet: CureSheet) -> None:
    if low <= percent <= high:
        return
    whose = "the trade's limits (the sheet has none)" if sheet.limits_assumed else "the limits"
    raise OutsideLimits(
        f"{percent:g} % of catalyst is outside {whose}, {low:g} to {high:g} %.",
        advice="Stay inside: warm the bay for a faster gel, mix smaller pots for a slower one.",
        least=low,
        greatest=high,
    )


def _limit(wanted: float, low: float, high: float) -> tuple[str | None, str]:
    if wanted > high:
        return (
            "catalyst_percent_max",
            "So fast can't be had by catalyst: warm the bay and the resin, or wait longer.",
        )
    if wanted < low:
        return (
            "catalyst_percent_min",
            "So slow can't be had by catalyst: mix smaller pots, spread out at once, "
            "or work in a cooler hour.",
        )
    return None, ""


def _two_part(pot: Pot, sheet: CureSheet, law: GelLaw, others: Others) -> Dose:
    if pot.target_gel is not None or pot.percent is not None:
        codes = [other.code for other in others() if other.sheet != sheet]
        choice = f" Hardeners with a sheet: {', '.join(codes)}." if codes else ""
        raise OutsideLimits(
            "A two-part product has one ratio; more hardener does not make it faster.",
            advice=f"For another gel time take a slower or faster hardener.{choice}",
        )
    resin_part, hardener_part = sheet.mix.parts or (1.0, 0.0)
    ratio = hardener_part / resin_part
    if sheet.mix.by == "volume":
        if not pot.resin_density or not pot.catalyst_density:
            raise CureSheetMissing(
                "A ratio by volume needs both densities to be weighed out.",
                advice="Set 'density' on the resin and on the hardener.",
            )
        ratio *= pot.catalyst_density / pot.resin_density
    exact = pot.resin * ratio
    volume = exact / pot.catalyst_density * 1e6 if pot.catalyst_density else None
    mass = nearest(exact, gram_step(exact))
    answer = _answer(pot, sheet, law, None)
    hot = f"Above {worded.heat(HOT_EPOXY_K, 0)} the listed pot life is halved."
    halved = 0.5 if pot.chemistry == "epoxy" and pot.temperature > HOT_EPOXY_K else 1.0
    warn = () if halved == 1 else (hot,)
    within = f"Weigh both, the hardener to ±{RATIO_TOLERANCE * exact / 1e3:.1f} g."
    return replace(
        answer,
        percent=100 * ratio,
        percent_as_measured=100 * mass / pot.resin,
        mass=mass,
        volume=None if volume is None else nearest(volume, ml_step(volume)),
        pot_at_most=answer.pot_at_most * halved,
        working_time=answer.working_time * halved,
        warnings=warn,
        advice=(within, *filter(None, [_off_ratio(mass, exact)])),
    )


def _off_ratio(mass: int, exact: float) -> str:
    if abs(mass - exact) <= RATIO_TOLERANCE * exact:
        return ""
    least = ceil(gram_step(exact) / 2 / RATIO_TOLERANCE / 1e4) * 10
    return f"Too little to weigh to ±2 %: mix so much that the hardener is at least {least} g."


def _answer(pot: Pot, sheet: CureSheet, law: GelLaw, c: float | None) -> Dose:
    """The times of a pot at c effective percent; what to weigh is filled in by the caller."""
    T = pot.temperature
    gel = gel_span(
        law, T, c, factor=pot.factor, uncertainty=pot.uncertainty, filled=pot.filled
    )  # fmt: skip
    film = None
    if sheet.film_gel is not None:
        usual = None if c is None else sheet.reference_percent or law.percent
        film = sheet.film_gel * gel.time / law.gel_time(sheet.reference_temperature, usual)
    return Dose(
        percent=0.0,
        percent_as_measured=0.0,
        mass=0,
        volume=None,
        gel=gel,
        pot_at_most=gel.time,
        working_time=max(WORKING_SHARE * gel.earliest - pot.mixing, 0.0),
        film=film,
        limited_by=None,
        extrapolated=law.extrapolated(T, c),
        warnings=(),
        advice=(),
    )


def _with_words(answer: Dose, pot: Pot, sheet: CureSheet, others: Others) -> Dose:
    warnings = list(answer.warnings)
    if pot.filled or pot.temperature < COLD_K:
        warnings.append("Filled or cold: the gel time is less sure; gel a cup first.")
    if answer.extrapolated:
        warnings.append("Beyond the sheet's own gel times: extrapolated, the band is doubled.")
    if sheet.mix.kind == "catalysed" and sheet.limits_assumed:
        warnings.append("The sheet has no percent limits: the trade's 1 to 2 % are assumed.")
    if answer.working_time <= 0:
        more = more_time(sheet, pot.temperature, others)
        warnings.append(f"It may gel while it is stirred. For more time: {more}.")
    return replace(answer, warnings=tuple(warnings))


def more_time(sheet: CureSheet, T: float, others: Others) -> str:
    """What leaves more time before a mix gels, in words.

    Two parts have one ratio, so never less hardener: the answer is a slower one, by its code.

    Args:
        T: of the mix, K. others: of the resin.
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
