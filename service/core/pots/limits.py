"""Limits of a pot: its temperature, its size, and the percent of catalyst in it."""

from __future__ import annotations

from collections.abc import Callable
from math import ceil

from ..amounts.sentences import at_least, heat, weight
from ..bays import heating
from ..errors import OutsideLimits, PeroxideLimit, TooCold, TooHot
from ..products.cure_sheet import PERCENT_NEVER_OVER, CureSheet
from ..words import Text, say
from .pot import Pot

ENTER_POT_MAX = "A lead can enter the 'pot_max' of the data sheet."
ANOTHER_PEROXIDE = "Take a peroxide with more active oxygen"


def check_temperature(pot: Pot, sheet: CureSheet) -> None:
    """Refuse a pot that is too cold or too hot to be laid up.

    Raises:
        TooCold, TooHot.
    """
    has = heat(pot.temperature)
    if sheet.apply_min is not None and pot.temperature < sheet.apply_min:
        kept = heating.with_margin(sheet.apply_min, pot.uncertainty, sheet.temperature_max)
        raise TooCold(
            say(
                "{} is too cold to lay this product up: its least temperature is {}.",
                has,
                heat(sheet.apply_min),
            ),
            advice=say(
                "Warm the bay and the resin to at least {} first, with flameless, ducted heat.",
                at_least(kept),
            ),
        )
    if sheet.temperature_max is not None and pot.temperature > sheet.temperature_max:
        raise TooHot(
            say(
                "{} is too hot to lay this product up: its greatest temperature is {}.",
                has,
                heat(sheet.temperature_max),
            ),
            advice="Wait for a cooler hour, or cool the bay and the resin.",
        )


def check_pot(pot: Pot, sheet: CureSheet, catalyst: int) -> None:
    """Refuse a pot that is over the greatest, and say in how many to mix it.

    Args:
        catalyst: or hardener, mg.

    Raises:
        OutsideLimits.
    """
    whole = pot.resin + catalyst if sheet.mix.kind == "two_part" else pot.resin
    greatest = sheet.greatest_pot(pot.chemistry)
    if whole <= greatest:
        return
    pots = ceil(whole / greatest)
    assumed = "" if sheet.pot_max is not None else f" ({assumed_pot(pot.chemistry)})"
    enter = "" if sheet.pot_max is not None else f" {ENTER_POT_MAX}"
    raise OutsideLimits(
        say(
            "A pot of {} is over the greatest, {}{}: it would run hot.",
            weight(whole),
            weight(greatest),
            assumed,
        ),
        advice=say(
            "Mix {} pots of {} of resin, one after another.{}",
            pots,
            weight(pot.resin / pots),
            enter,
        ),
        pots=pots,
    )


def assumed_pot(chemistry: str | None) -> str:
    """The basis of a greatest pot that is not the sheet's, in words."""
    of = chemistry.replace("_", " ") if chemistry else "a resin of unknown chemistry"
    return f"assumed for {of}: the cure sheet has no greatest pot"


def percent_limits(sheet: CureSheet, strength: float) -> tuple[float, float]:
    """Least and greatest percent as weighed: the sheet's, for a peroxide of this strength."""
    low, high = sheet.percent_limits
    return low / strength, high / strength


def check_percent(
    percent: float,
    sheet: CureSheet,
    strength: float,
    alternatives: Callable[[], Text] | None = None,
) -> None:
    """Refuse a percent of catalyst, as weighed, that is outside its limits.

    Args:
        strength: as `Pot.strength`. alternatives: gives the advice where a peroxide is too weak.

    Raises:
        PeroxideLimit: it would take more than any resin may have. OutsideLimits.
    """
    low, high = percent_limits(sheet, strength)
    needed = max(percent, low)
    if high > PERCENT_NEVER_OVER and needed > PERCENT_NEVER_OVER:
        raise PeroxideLimit(
            f"It would take {needed:.3g} % of this peroxide, over {PERCENT_NEVER_OVER:g} % as "
            "weighed: that much may keep the resin from ever curing.",
            advice=alternatives() if alternatives else f"{ANOTHER_PEROXIDE}, or warm the shop.",
            greatest=PERCENT_NEVER_OVER,
        )
    if low <= percent <= high:
        return
    whose = "the trade's limits (the sheet has none)" if sheet.limits_assumed else "the limits"
    raise OutsideLimits(
        f"{percent:g} % of catalyst is outside {whose}, {low:g} to {high:g} %.",
        advice="Stay inside: warm the bay for a faster gel, mix smaller pots for a slower one.",
        least=low,
        greatest=high,
    )
