"""Word a dose: its warnings, its cautions, and whether the store has what the pot takes."""

from __future__ import annotations

from datetime import date
from math import floor
from typing import TYPE_CHECKING

from ...core.amounts.sentences import heat, weight
from ...core.pots import dosing
from ...core.pots.pot import Dose
from ...core.products import cautions
from ...core.stock import remainder
from ...core.words import Text, say
from ...store.products import Product
from ...store.stock.jobs import numbers_of
from ..products.law_views import untold_words
from ..products.nature import natures_of
from ..stock import reserve
from ..yard import moments
from .look_up import Asked

if TYPE_CHECKING:
    from ...core.cure.night import ColdAhead


LEAST_S = 5 * 60
"""Less time than this to spread a pot, at worst, is too little. Common practice, no source."""


def cautions_of(pot: Asked) -> list[Text]:
    """What can hurt whoever mixes a pot."""
    partner = natures_of(pot.catalyst) if pot.catalyst else frozenset()
    kind, chemistry = pot.sheet.mix.kind, pot.resin.chemistry
    return [*cautions.for_mix(kind, chemistry, partner, filled=pot.filled)]


def caution_before(pot: Asked) -> str:
    """What whoever mixes a pot must have on before it is weighed, in one line."""
    partner = natures_of(pot.catalyst) if pot.catalyst else frozenset()
    return cautions.before_mixing(pot.sheet.mix.kind, pot.resin.chemistry, partner)


def is_too_quick(dose: Dose) -> bool:
    """Whether a pot can hardly be laid: at worst it gels within minutes."""
    return dose.working_time < LEAST_S


def warnings(pot: Asked, dose: Dose, cold: ColdAhead | None) -> list[Text]:
    """What a person must know of a dose: too little time first, what it rests on, the night."""
    found = [*_on_time(dose), *dose.warnings, *_on_sheet(pot)]
    if pot.cup_test is not None and pot.cup_test.verdict == "caution":
        found.append("The lot has changed: its last cup test was outside the usual range.")
    return [*found, *_on_air(pot), *_on_cold(pot, cold)]


def basis_notes(pot: Asked, dose: Dose) -> list[Text]:
    """Those of the warnings that say what a dose rests on: the same on each pot of a day."""
    limits = [each for each in dose.warnings if each == dosing.LIMITS_ASSUMED]
    return [*limits, *_on_sheet(pot), *_on_air(pot)]


def _on_time(dose: Dose) -> list[Text]:
    if not is_too_quick(dose):
        return []
    minutes = max(floor(dose.working_time / 60), 0)
    return [f"TOO HOT OR TOO MUCH TO LAY: at worst it can be spread for only {minutes} min."]


def _on_sheet(pot: Asked) -> list[Text]:
    untold = [untold_words(pot.law.assumed)] if pot.law.assumed else []
    return [*untold, *(f"Odd cure sheet: {flag}." for flag in pot.law.flags)]


def _on_air(pot: Asked) -> list[Text]:
    if pot.heat.basis != "bay" or pot.heat.air is None:
        return []
    return [
        say(
            "The bay's air stands in for the resin's temperature: {}. Give the resin's own for "
            "a narrower band.",
            pot.heat.air.words(pot.now),
        )
    ]


def advice(pot: Asked, dose: Dose) -> list[Text]:
    """How to dose better, and which bay's night was looked at, if the cold matters at all."""
    looked_at = [pot.heat.why] if pot.heat.why and pot.sheet.cure_min is not None else []
    return [*dose.advice, *looked_at]


def on_night(pot: Asked, dose: Dose) -> list[Text]:
    """A warning if its bay gets too cold before the pot is hard; nothing without a bay."""
    return _on_cold(pot, night_of(pot, dose))


def night_of(pot: Asked, dose: Dose) -> ColdAhead | None:
    """The cold that comes before a pot is hard; None without it, or without a bay."""
    bay = pot.heat.bay
    if bay is None or pot.sheet.cure_min is None:
        return None
    from ...core.cure.night import cold_ahead  # late, as the air: most doses name no bay
    from ..bays import air
    from .laid import layer_of

    ahead = air.trace(bay, pot.at, pot.at + air.AHEAD_S)
    return cold_ahead(layer_of(pot, dose), ahead, air.doubt(bay, pot.at))


def _on_cold(pot: Asked, cold: ColdAhead | None) -> list[Text]:
    if cold is None or pot.heat.bay is None:
        return []
    start = say(
        "{} may go under {} from {}, before it is hard (chance: {}): do not start",
        pot.heat.bay.code,
        heat(cold.floor, 0),
        moments.clock(cold.cold_from),
        cold.likely,
    )
    if cold.heat_until is None:
        return [start + "."]
    return [say("{}, or {}.", start, cold.remedy(moments.clock))]


def on_stock(pot: Asked, dose: Dose) -> list[Text]:
    """Warnings if the store lacks what a pot takes, while nothing is drawn for it yet."""
    today = moments.day_of(pot.at)
    found = _lacking(pot.resin, pot.resin_mg, today)
    if pot.catalyst is not None and dose.mass:
        found += _lacking(pot.catalyst, dose.mass, today)
    return found


def _lacking(product: Product, wanted: int, today: date) -> list[Text]:
    """A word on a product that is short or promised; `wanted` in mg.

    Held lots and those out of date don't count: mixing refuses them.
    """
    reserved = reserve.of_product(product, today)
    there = sum(lot.on_hand for lot in reserved.lots if not lot.last_day or lot.last_day >= today)
    spare = remainder.allowance(wanted)
    if there + spare < wanted:
        return [
            say(
                "{} is short: the pot takes {}, and {} is there that may be used.",
                product.code,
                _weight(wanted),
                _weight(there),
            )
        ]
    if reserved.free() + spare >= wanted:
        return []
    numbers = numbers_of(kept.job for kept in reserved.kept).values()
    return [
        say(
            "{} is promised: {} of {} is free, the rest is reserved for {}.",
            product.code,
            _weight(max(reserved.free(), 0)),
            _weight(there),
            ", ".join(sorted(numbers)),
        )
    ]


def _weight(mass: int) -> Text:
    return weight(mass) if mass >= 1_000_000 else f"{mass / 1000:g} g"
