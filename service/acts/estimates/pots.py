"""Estimate pots: their number and size, and when each is mixed. Nothing is drawn or kept."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Annotated, Any, Literal

from ...core.amounts import measuring
from ...core.amounts.quantities import (
    AREA,
    DOSE_MASS,
    DOSE_VOLUME,
    MASS,
    TEMPERATURE,
    Given,
)
from ...core.amounts.sentences import weight
from ...core.amounts.views import Closing, Code, Moment, Opening, View
from ...core.bays.temperature import Trace
from ...core.errors import Invalid
from ...core.frozen import frozen
from ...core.pots import sharing
from ...core.pots.limits import ENTER_POT_MAX, assumed_pot
from ...core.pots.pot import MIXING_S, Dose
from ...core.pots.sharing import Turn
from ...core.words import Text, say
from ..bays import air
from ..pots import dose_words
from ..pots.look_up import Asked, look_up
from ..pots.work_out import more_time, work_out
from ..products.stuff import stuff_of
from ..yard import conversions


@frozen
class PotTurnView(View):
    """One pot: the masses to weigh, when to stir it, and until when it must be down."""

    pot: int
    resin: Annotated[int, DOSE_MASS]
    catalyst: Annotated[int, DOSE_MASS]
    catalyst_volume: Annotated[float, DOSE_VOLUME] | None
    percent_as_measured: float
    temperature: Annotated[float, TEMPERATURE]
    mixed_at: Moment
    spread_from: Moment
    spread_until: Closing
    spread_before: Closing
    gel_earliest_at: Closing


@frozen
class PotsView(View):
    """The pots in their order."""

    resin: Code
    catalyst: Code | None
    count: int
    limited_by: Literal["pot_max", "time"] | None
    greatest_pot: Annotated[int, MASS]
    resin_mass: Annotated[int, MASS]
    catalyst_mass: Annotated[int, DOSE_MASS]
    mix: Annotated[int, MASS]
    finished_at: Opening
    pots: list[PotTurnView]
    warnings: list[Text]
    advice: list[Text]
    cautions: list[Text]


@frozen
class Dosing:
    """How each pot of the run is dosed; times in s.

    Attributes:
        air: of the bay, where its temperature is taken for the resin's.
    """

    whole: Asked
    target_gel: Decimal | None
    percent: Decimal | None
    mixing: float
    air: Trace | None

    def at(self, resin: int, moment: float) -> tuple[Asked, Dose]:
        """One pot of `resin` mg mixed at a moment, in the air forecast for that moment."""
        heat = self.whole.heat
        if self.air is not None:
            heat = replace(heat, temperature=self.air.at(moment))
        pot = replace(self.whole, resin_mg=resin, heat=heat, at=int(moment))
        return pot, work_out(pot, self.target_gel, self.percent, Decimal(repr(self.mixing)))

    def working(self, resin: int, moment: float) -> float:
        """Working time of such a pot, s."""
        return self.at(resin, moment)[1].working_time

    def fits(self, resin: int) -> bool:
        """Whether a pot of so much resin, and its hardener, is within the sheet's greatest."""
        greatest = self.whole.greatest_pot
        if resin > greatest or self.whole.sheet.mix.kind != "two_part":
            return resin <= greatest
        handful = replace(self.whole, resin_mg=max(greatest // 1000, 1))
        hardener = resin * work_out(handful).percent / 100
        weighed = measuring.nearest(hardener, measuring.gram_step(hardener))
        return resin + weighed <= greatest


def run(
    *, now: int, spread: Given, spread_time: Decimal, area: Decimal | None = None,
    start: int | None = None, target_gel: Decimal | None = None,
    catalyst_percent: Decimal | None = None, mixing: Decimal | None = None, **asked: Any,
) -> PotsView:  # fmt: skip
    """Share a mix out into pots.

    Args:
        spread: the amount that the hands spread in `spread_time` (s): resin, or part of `area`
            (mm²).
        start: of the first mixing, epoch s; None for now.
        asked: the rest as `look_up`, `amount` being all the resin.

    Raises:
        As `look_up`, `dosing.dose` and `sharing.share`. Invalid: an area to spread of no
        known whole.
    """
    start = now if start is None else start
    whole = look_up(at=start, now=now, **asked)
    bay = whole.heat.bay if whole.heat.basis == "bay" else None
    dosed = Dosing(
        whole, target_gel, catalyst_percent,
        MIXING_S if mixing is None else float(mixing),
        None if bay is None else air.trace(bay, start, start + sharing.LONGEST_S),
    )  # fmt: skip
    resin = whole.resin_mg
    rate = _spread(spread, area, whole) / float(spread_time)
    shared = sharing.share(
        resin, rate, start, dosed.mixing, dosed.fits, dosed.working,
        more_time=lambda: more_time(whole),
    )  # fmt: skip
    return _shown(dosed, shared)


def _spread(spread: Given, area: Decimal | None, whole: Asked) -> float:
    """The resin in mg that the hands spread in `spread_time`."""
    if spread.kind.name != AREA.name:
        return conversions.in_ledger(spread, stuff_of(whole.resin), "/spread")
    if area is None:
        raise Invalid(
            "The spread is an area, and the whole area is not known.",
            advice="Give 'area', all that the mix covers, or 'spread' as a mass.",
            pointer="/area",
        )
    return whole.resin_mg * float(spread.value) / float(area)


def _shown(dosed: Dosing, shared: sharing.Run) -> PotsView:
    answers = [dosed.at(turn.resin, turn.mixed) for turn in shared.turns]
    catalyst = sum(found.mass for _, found in answers)
    resin = sum(turn.resin for turn in shared.turns)
    partner = dosed.whole.catalyst
    turns = zip(shared.turns, answers, strict=True)
    return PotsView(
        resin=dosed.whole.resin.code,
        catalyst=partner.code if partner else None,
        count=len(shared.turns),
        limited_by=shared.limited_by,
        greatest_pot=dosed.whole.greatest_pot,
        resin_mass=resin,
        catalyst_mass=catalyst,
        mix=resin + catalyst,
        finished_at=shared.turns[-1].spread_until,
        pots=[_pot(number, turn, *answer) for number, (turn, answer) in enumerate(turns, 1)],
        warnings=_warnings(dosed.whole, answers),
        advice=list(dict.fromkeys(text for _, found in answers for text in found.advice)),
        cautions=dose_words.cautions_of(dosed.whole),
    )


def _pot(number: int, turn: Turn, pot: Asked, found: Dose) -> PotTurnView:
    return PotTurnView(
        pot=number,
        resin=turn.resin,
        catalyst=found.mass,
        catalyst_volume=found.volume,
        percent_as_measured=round(found.percent_as_measured, 4),
        temperature=pot.heat.temperature,
        mixed_at=turn.mixed,
        spread_from=turn.spread_from,
        spread_until=turn.spread_until,
        spread_before=turn.spread_from + min(found.working_time, sharing.LONGEST_S),
        gel_earliest_at=turn.mixed + min(found.gel.earliest, sharing.LONGEST_S),
    )


def _warnings(whole: Asked, answers: list[tuple[Asked, Dose]]) -> list[Text]:
    words = [text for _, found in answers for text in found.warnings]
    if whole.heat.basis == "bay" and whole.heat.air is not None:
        said = whole.heat.air.words(whole.now)
        words.append(
            say("The bay's air stands in for the resin's temperature: {}. Feel each pot.", said)
        )
    words += dose_words.on_night(*answers[-1])  # the last pot is the last hard
    if whole.sheet.pot_max is None:
        greatest = weight(whole.greatest_pot)
        assumed = assumed_pot(whole.resin.chemistry)
        words.append(say("The greatest pot, {}, is {}. {}", greatest, assumed, ENTER_POT_MAX))
    return list(dict.fromkeys(words))
