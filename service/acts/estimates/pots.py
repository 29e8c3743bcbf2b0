"""Estimate pots: how many, how big, and when each is mixed. Nothing is drawn or kept."""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from ...core.amounts import measuring
from ...core.amounts import sentences as worded
from ...core.amounts.quantities import AREA, Given
from ...core.bays.temperature import Trace
from ...core.errors import Invalid
from ...core.pots import limits
from ...core.pots import sharing as pots
from ...core.pots.pot import MIXING_S, Dose
from ..bays import air as bay_air
from ..pots import dose as dose_pot
from ..pots.dose import Asked
from ..products.product import stuff_of
from ..yard import conversions as units


@dataclass(frozen=True)
class Dosing:
    """How each pot of the run is dosed; times in s, `air` where it stands in for the resin's."""

    whole: Asked
    target_gel: Decimal | None
    percent: Decimal | None
    mixing: float
    air: Trace | None

    def at(self, resin: int, moment: float) -> tuple[Asked, Dose]:
        """One pot of `resin` mg mixed at a moment, in the air forecast for it."""
        heat = self.whole.heat
        if self.air is not None:
            heat = replace(heat, temperature=self.air.at(moment))
        pot = replace(self.whole, resin_mg=resin, heat=heat, at=int(moment))
        return pot, dose_pot.work_out(
            pot, self.target_gel, self.percent, Decimal(repr(self.mixing))
        )

    def working(self, resin: int, moment: float) -> float:
        """Working time of such a pot, s."""
        return self.at(resin, moment)[1].working_time

    def fits(self, resin: int) -> bool:
        """Whether a pot of so much resin, and its hardener, is not over the sheet's greatest."""
        greatest = self.whole.greatest_pot
        if resin > greatest or self.whole.sheet.mix.kind != "two_part":
            return resin <= greatest
        handful = replace(self.whole, resin_mg=max(greatest // 1000, 1))
        hardener = resin * dose_pot.work_out(handful).percent / 100
        weighed = measuring.nearest(hardener, measuring.gram_step(hardener))
        return resin + weighed <= greatest


def run(
    *, now: int, spread: Given, spread_time: Decimal, area: Decimal | None = None,
    start: int | None = None, target_gel: Decimal | None = None,
    catalyst_percent: Decimal | None = None, mixing: Decimal | None = None, **asked: Any,
) -> dict[str, Any]:  # fmt: skip
    """Share a mix out into pots.

    Args:
        spread: what the hands spread in `spread_time` (s): mg of resin, or mm² of `area`.
        start: of the first mixing, epoch s; now where it is left out.
        asked: the rest as `dose_pot.look_up`, `amount` being all the resin.

    Raises:
        As `dose_pot.look_up`, `dosing.dose` and `pots.share`. Invalid: an area to spread of no
        known whole.
    """
    start = now if start is None else start
    whole = dose_pot.look_up(at=start, now=now, **asked)
    bay = whole.heat.bay if whole.heat.basis == "bay" else None
    dosed = Dosing(
        whole, target_gel, catalyst_percent,
        MIXING_S if mixing is None else float(mixing),
        None if bay is None else bay_air.trace(bay, start, start + pots.LONGEST_S),
    )  # fmt: skip
    resin = whole.resin_mg
    rate = _spread(spread, area, whole) / float(spread_time)
    shared = pots.share(
        resin, rate, start, dosed.mixing, dosed.fits, dosed.working,
        more_time=lambda: dose_pot.more_time(whole),
    )  # fmt: skip
    return _shown(dosed, shared)


def _spread(spread: Given, area: Decimal | None, whole: Asked) -> float:
    """Resin in mg that the hands spread in their time."""
    if spread.kind.name != AREA.name:
        return units.in_ledger(spread, stuff_of(whole.resin), "/spread")
    if area is None:
        raise Invalid(
            "The spread is an area, and the whole area is missing.",
            advice="Give 'area', all that the mix covers, or 'spread' as a mass.",
            pointer="/area",
        )
    return whole.resin_mg * float(spread.value) / float(area)


def _shown(dosed: Dosing, shared: pots.Run) -> dict[str, Any]:
    answers = [dosed.at(turn.resin, turn.mixed) for turn in shared.turns]
    catalyst = sum(dose.mass for _, dose in answers)
    resin = sum(turn.resin for turn in shared.turns)
    partner = dosed.whole.catalyst
    return {
        "resin": dosed.whole.resin.code,
        "catalyst": partner.code if partner else None,
        "count": len(shared.turns),
        "limited_by": shared.limited_by,
        "greatest_pot": dosed.whole.greatest_pot,
        "resin_mass": resin,
        "catalyst_mass": catalyst,
        "mix": resin + catalyst,
        "finished_at": shared.turns[-1].spread_until,
        "pots": [
            _pot(number, turn, pot, dose)
            for number, (turn, (pot, dose)) in enumerate(zip(shared.turns, answers, strict=True), 1)
        ],
        "warnings": _warnings(dosed.whole, answers),
        "advice": list(dict.fromkeys(text for _, dose in answers for text in dose.advice)),
        "cautions": dose_pot.cautions_of(dosed.whole),
    }


def _pot(number: int, turn: pots.Turn, pot: Asked, dose: Dose) -> dict[str, Any]:
    return {
        "pot": number,
        "resin": turn.resin,
        "catalyst": dose.mass,
        "catalyst_volume": dose.volume,
        "percent_as_measured": round(dose.percent_as_measured, 4),
        "temperature": pot.heat.temperature,
        "mixed_at": turn.mixed,
        "spread_from": turn.spread_from,
        "spread_until": turn.spread_until,
        "spread_before": turn.spread_from + min(dose.working_time, pots.LONGEST_S),
        "gel_earliest_at": turn.mixed + min(dose.gel.earliest, pots.LONGEST_S),
    }


def _warnings(whole: Asked, answers: list[tuple[Asked, Dose]]) -> list[str]:
    found = dict.fromkeys(text for _, dose in answers for text in dose.warnings)
    if whole.heat.basis == "bay" and whole.heat.air is not None:
        air = whole.heat.air.words(whole.now)
        found[f"The bay's air stands in for the resin's temperature: {air}. Feel each pot."] = None
    found |= dict.fromkeys(dose_pot.night_words(*answers[-1]))  # the last pot is the last hard
    if whole.sheet.pot_max is None:
        greatest = worded.weight(whole.greatest_pot)
        assumed = limits.assumed_pot(whole.resin.chemistry)
        found[f"The greatest pot, {greatest}, is {assumed}. {limits.ENTER_POT_MAX}"] = None
    return list(found)
