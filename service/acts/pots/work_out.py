"""Work out a pot's dose from what was looked up."""

from __future__ import annotations

from decimal import Decimal

from ...core.errors import PeroxideLimit, TooCold, TooHot
from ...core.pots import dosing
from ...core.pots.pot import MIXING_S, Dose, Other, Pot
from ...core.words import say
from ..products import cure_sheets
from ..products.cure_sheets import strength_of
from ..yard import finding, settings
from .look_up import Asked


def work_out(
    pot: Asked,
    target_gel: Decimal | None = None,
    catalyst_percent: Decimal | None = None,
    mixing: Decimal | None = None,
) -> Dose:
    """The dose of a pot; times in s.

    Raises: as `dosing.dose`.
    """
    asked = pot_of(pot, target_gel, catalyst_percent, mixing)
    try:
        return dosing.dose(asked, pot.sheet, pot.law, others=lambda: _others(pot))
    except (TooCold, TooHot, PeroxideLimit) as refused:
        air = pot.heat.air
        if pot.heat.basis == "given" or air is None or air.basis == "measured":
            raise
        raise type(refused)(
            say("{} The temperature was not measured: {}.", refused.detail, air.words(pot.now)),
            advice=say(
                "Read the bay and enter its 'readings', or give the resin's own 'temperature'. {}",
                refused.advice,
            ),
            pointer=refused.pointer,
            **refused.fields,
        ) from refused


def pot_of(
    pot: Asked,
    target_gel: Decimal | None = None,
    catalyst_percent: Decimal | None = None,
    mixing: Decimal | None = None,
) -> Pot:
    """The pot as the core doses it."""
    return Pot(
        resin=pot.resin_mg,
        temperature=pot.heat.temperature,
        uncertainty=pot.heat.uncertainty,
        target_gel=None if target_gel is None else float(target_gel),
        percent=None if catalyst_percent is None else float(catalyst_percent),
        belief=pot.belief,
        filled=pot.filled,
        strength=pot.strength,
        resin_density=pot.resin.density_mg_l,
        catalyst_density=pot.catalyst.density_mg_l if pot.catalyst else None,
        mixing=MIXING_S if mixing is None else float(mixing),
        chemistry=pot.resin.chemistry,
        sure=settings.sure(),
    )


def more_time(pot: Asked) -> str:
    """Words on what would make a pot gel later."""
    return dosing.more_time(pot.sheet, pot.heat.temperature, lambda: _others(pot))


def _others(pot: Asked) -> list[Other]:
    """The other catalysts or hardeners that the resin has sheets with."""
    taken = pot.catalyst.code_key if pot.catalyst else ""
    named = [
        (kept.sheet, finding.product(code, "/catalyst"))
        for kept in cure_sheets.current(pot.resin.id)
        for code in kept.sheet.partners
    ]
    return [
        Other(partner.code, sheet, strength_of(sheet, partner))
        for sheet, partner in named
        if partner.code_key != taken
    ]
