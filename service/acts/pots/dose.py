"""Dose a pot: the sum alone, nothing drawn. `mix` draws what it says."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, Annotated, Any, Literal

from ...core.amounts.quantities import DIFFERENCE, DOSE_MASS, DOSE_VOLUME, GEL_TIME, TEMPERATURE
from ...core.amounts.views import Closing, Code, Says, View
from ...core.frozen import frozen
from ...core.pots.pot import Dose
from ...core.words import Text
from ..bays.air_taken import AirTakenView, ReadView
from ..cure.budget_views import BudgetView
from ..products.law_views import LawView, show_law
from ..products.pair_law import factor_basis
from . import dose_words, under_bag
from .look_up import Asked, look_up
from .work_out import work_out

if TYPE_CHECKING:
    from ...core.cure.night import ColdAhead


@frozen
class MeasuredView(View):
    """The catalyst or hardener: its mass to weigh, its volume to measure."""

    product: Code | None
    mass: Annotated[int, DOSE_MASS]
    volume: Annotated[int | None, DOSE_VOLUME]


@frozen
class GelView(View):
    """The cup's gel time with its band."""

    time: Annotated[float, GEL_TIME]
    earliest: Annotated[float, GEL_TIME]
    latest: Annotated[float, GEL_TIME]


@frozen
class PotView(View):
    """When the pot gels: sooner than the cup."""

    at_most: Annotated[float, GEL_TIME]
    working_time: Annotated[float, GEL_TIME]


@frozen
class WorkingView(View):
    """How long a pot can be spread once it is stirred."""

    at_worst: Annotated[float, GEL_TIME]
    likely: Annotated[float, GEL_TIME]


@frozen
class FilmView(View):
    """When a film gels: later than the cup."""

    time: Annotated[float | None, GEL_TIME]
    note: str


@frozen
class BasisView(View):
    """The facts that a dose rests on."""

    law: LawView
    extrapolated: bool
    temperature: Annotated[float, TEMPERATURE]
    uncertainty: Annotated[float, DIFFERENCE]
    temperature_basis: Literal["given", "bay"]
    air: AirTakenView | None
    factor: float
    factor_basis: str
    cure_revision: int


@frozen
class NightView(View):
    """The cold that comes before a pot is hard, and the chance that it does."""

    floor: Annotated[float, TEMPERATURE]
    cold_from: Closing
    chance_percent: float


@frozen
class DoseView(View):
    """A dose: the amounts to weigh, and when the pot gels."""

    resin: Code
    amount: Annotated[int, DOSE_MASS]
    catalyst_percent: float
    percent_as_measured: float
    catalyst: MeasuredView
    gel: GelView
    pot: PotView
    working_time: WorkingView | None
    film: FilmView
    limited_by: str | None
    basis: BasisView
    night: Annotated[
        NightView | None, Says("The cold before it is hard; null where none is in sight.")
    ]
    cautions: list[Text]
    warnings: list[Text]
    too_quick: Annotated[
        bool, Says("Whether there is hardly time to lay it; then the first warning says so.")
    ]
    basis_notes: Annotated[
        list[Text], Says("Those of the warnings that say what the dose rests on.")
    ]
    advice: list[Text]
    budget: Annotated[BudgetView | None, Says("Why the gel is so unsure; null unless asked for.")]


def dose_pot(*, now: int, budget: bool = False, **asked: Any) -> DoseView:
    """Work out the dose of one pot, and warn of stock that it lacks.

    The other arguments are those of `look_up` and `work_out`, and `bag` as `under_bag.Bag`.

    Args:
        budget: whether to say why its gel is as unsure as it is.
    """
    target, percent = asked.pop("target_gel", None), asked.pop("catalyst_percent", None)
    mixing, bag = asked.pop("mixing", None), asked.pop("bag", None)
    pot = look_up(at=now, now=now, **asked)
    dose = work_out(pot, target, percent, mixing)
    shown = under_bag.told(show_dose(pot, dose), dose, bag)
    shown = replace(shown, warnings=[*shown.warnings, *dose_words.on_stock(pot, dose)])
    if not budget:
        return shown
    from .budget import budget_of_gel  # imported late: few doses ask for it

    return replace(shown, budget=budget_of_gel(pot, dose))


def show_dose(pot: Asked, dose: Dose) -> DoseView:
    """A dose, for an answer."""
    partner, cold = pot.catalyst, dose_words.night_of(pot, dose)
    film = "by the sheet" if dose.film else "later than the cup: test by glove"
    return DoseView(
        resin=pot.resin.code,
        amount=pot.resin_mg,
        catalyst_percent=round(dose.percent, 4),
        percent_as_measured=round(dose.percent_as_measured, 4),
        catalyst=MeasuredView(partner.code if partner else None, dose.mass, dose.volume),
        gel=GelView(dose.gel.time, dose.gel.earliest, dose.gel.latest),
        pot=PotView(dose.pot_at_most, dose.working_time),
        working_time=WorkingView(dose.working_time, dose.working_likely),
        film=FilmView(dose.film, film),
        limited_by=dose.limited_by,
        basis=_show_basis(pot, dose),
        night=None if cold is None else _show_night(cold),
        cautions=dose_words.cautions_of(pot),
        warnings=dose_words.warnings(pot, dose, cold),
        too_quick=dose_words.is_too_quick(dose),
        basis_notes=dose_words.basis_notes(pot, dose),
        advice=dose_words.advice(pot, dose),
        budget=None,
    )


def _show_night(cold: ColdAhead) -> NightView:
    return NightView(cold.floor, cold.cold_from, round(100 * cold.chance, 1))


def _show_basis(pot: Asked, dose: Dose) -> BasisView:
    test, heat = pot.cup_test, pot.heat
    return BasisView(
        law=show_law(pot.law),
        extrapolated=dose.extrapolated,
        temperature=heat.temperature,
        uncertainty=heat.uncertainty,
        temperature_basis=heat.basis,
        air=None if heat.air is None else heat.air.show(),
        factor=round(pot.factor, 4),
        factor_basis=factor_basis(pot.law, None if test is None else test.id),
        cure_revision=pot.kept.revision,
    )


def recall(kept: Mapping[str, Any]) -> DoseView:
    """A dose as the hand was told it, from the JSON that was kept with the pot."""
    basis, working, night = kept["basis"], kept.get("working_time"), kept.get("night")
    air = basis.get("air")
    if air is not None:
        read = air["read"]
        air = AirTakenView.recalled(air, read=None if read is None else ReadView.recalled(read))
    return DoseView.recalled(
        kept,
        catalyst=MeasuredView.recalled(kept["catalyst"]),
        gel=GelView.recalled(kept["gel"]),
        pot=PotView.recalled(kept["pot"]),
        working_time=None if working is None else WorkingView.recalled(working),
        film=FilmView.recalled(kept["film"]),
        night=None if night is None else NightView.recalled(night),
        basis=BasisView.recalled(basis, law=LawView.recalled(basis["law"]), air=air),
        basis_notes=kept.get("basis_notes") or [],
        too_quick=kept.get("too_quick", False),
    )
