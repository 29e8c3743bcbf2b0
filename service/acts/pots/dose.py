"""Dose a pot: the sum alone, nothing drawn. `mix` draws what it says."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from decimal import Decimal
from typing import Any

from ...core.amounts import sentences as worded
from ...core.amounts.quantities import Given
from ...core.cure.layer import LaidPot, Layer
from ...core.cure.night import cold_ahead
from ...core.cure.preparation import surface_of
from ...core.errors import Invalid, PeroxideLimit, Refusal, TooCold, TooHot
from ...core.pots import dosing
from ...core.pots.dosing import Dose, Pot
from ...core.products import cautions
from ...core.products.cure_sheet import CureSheet
from ...core.products.gel_law import GelLaw
from ...core.stock import picking
from ...core.stock.picking import Shelved
from ...store import bays
from ...store.bays import Bay
from ...store.cure import layups
from ...store.products import Product
from ...store.stock.cup_tests import CupTest, cup_test_at
from ...store.stock.jobs import Job
from ...store.stock.lots import Lot
from ..bays import air as bay_air
from ..bays.air import Taken
from ..products import cure_sheets
from ..products.cure_sheet_views import show_law
from ..products.cure_sheets import Kept, strength_of
from ..products.nature import natures_of
from ..products.product import stuff_of
from ..stock import remainders
from ..stock.on_shelf import on_shelf
from ..yard import conversions as units
from ..yard import finding, moments
from . import stock_words as pot_stock

THERMOMETER_K = 1.0
"""Uncertainty of a temperature that a hand gives, K (a shop thermometer; common practice)."""


@dataclass(frozen=True)
class Heat:
    """How warm the resin is taken to be: K, its uncertainty, and how that is known.

    Attributes:
        basis: `given`, or `bay` where the bay's air stands in for it.
        air: of the bay that the part will lie in, None where no bay is known.
        why: words on a bay that nobody named, or on one that should be named; else empty.
    """

    temperature: float
    uncertainty: float
    basis: str
    air: Taken | None = None
    why: str = ""

    @property
    def bay(self) -> Bay | None:
        """The bay that the part will lie in."""
        return None if self.air is None else self.air.bay


@dataclass(frozen=True)
class Asked:
    """A pot asked for, looked up in the store.

    Attributes:
        resin_mg: mass of resin in the pot, additives that count as resin included.
        lot: the lot that the resin would come from first, or None.
        cup_test: the test that gives its factor, or None: then the factor is an assumed 1.
    """

    resin: Product
    catalyst: Product | None
    kept: Kept
    law: GelLaw
    heat: Heat
    resin_mg: int
    lot: Lot | None
    cup_test: CupTest | None
    filled: bool
    effects: tuple[str, ...]
    at: int
    now: int

    @property
    def sheet(self) -> CureSheet:
        """The pair's cure sheet."""
        return self.kept.sheet

    @property
    def factor(self) -> float:
        """Measured over expected gel time of the resin's lot."""
        return 1.0 if self.cup_test is None else self.cup_test.factor_ppm / 1e6

    @property
    def greatest_pot(self) -> int:
        """The greatest pot, resin + hardener, mg."""
        return self.sheet.greatest_pot(self.resin.chemistry)

    @property
    def strength(self) -> float:
        """Active oxygen of the catalyst over that of the sheet's, within one peroxide type."""
        return strength_of(self.sheet, self.catalyst)


def dose_pot(*, now: int, **asked: Any) -> dict[str, Any]:
    """Work out one pot, and say what the store lacks of it.

    The arguments are those of `look_up` and `work_out`.
    """
    target, percent = asked.pop("target_gel", None), asked.pop("catalyst_percent", None)
    mixing = asked.pop("mixing", None)
    pot = look_up(at=now, now=now, **asked)
    dose = work_out(pot, target, percent, mixing)
    shown = show(pot, dose)
    shown["warnings"] += _stock_words(pot, dose)
    return shown


def look_up(
    *,
    resin: str,
    amount: Given,
    at: int,
    now: int,
    catalyst: str | None = None,
    temperature: Decimal | None = None,
    bay: str | None = None,
    job: Job | None = None,
    filled: bool = False,
    resin_lot: Lot | None = None,
    added_mg: int = 0,
    effects: tuple[str, ...] = (),
) -> Asked:
    """Find what a pot is made of.

    Args:
        amount: of resin, by mass or volume. at: when it is mixed, epoch s.
        temperature: of the resin, K: it doses. bay: that the part will lie in: it looks ahead at
            the night, and its air stands in for a temperature that is not given.
        job: whose layups tell the bay where none is named.
        added_mg: of additives that count as resin. effects: of additives.

    Raises:
        UnknownReference, CureSheetMissing. Invalid: neither temperature nor bay.
        PartnerMissing: the sheet has several partners, and none is named.
    """
    product = finding.product(resin, "/resin")
    kept, partner = cure_sheets.pair(product, catalyst)
    mass = units.in_ledger(amount, stuff_of(product), "/amount")
    if mass <= 0:
        raise Invalid("A pot of nothing.", advice="Give the resin's amount.", pointer="/amount")
    lot = resin_lot or _first_lot(product, mass, at)
    return Asked(
        resin=product,
        catalyst=partner,
        kept=kept,
        law=cure_sheets.law_of(kept.sheet),
        heat=_heat(temperature, bay, job, at),
        resin_mg=mass + added_mg,
        lot=lot,
        cup_test=cup_test_at(lot.id, at) if lot else None,
        filled=filled,
        effects=effects,
        at=at,
        now=now,
    )


def work_out(
    pot: Asked,
    target_gel: Decimal | None = None,
    catalyst_percent: Decimal | None = None,
    mixing: Decimal | None = None,
) -> Dose:
    """The dose of a pot; times in s.

    Raises: as `dosing.dose`.
    """
    asked = Pot(
        resin=pot.resin_mg,
        temperature=pot.heat.temperature,
        uncertainty=pot.heat.uncertainty,
        target_gel=None if target_gel is None else float(target_gel),
        percent=None if catalyst_percent is None else float(catalyst_percent),
        factor=pot.factor,
        filled=pot.filled,
        strength=pot.strength,
        resin_density=pot.resin.density_mg_l,
        catalyst_density=pot.catalyst.density_mg_l if pot.catalyst else None,
        mixing=dosing.MIXING_S if mixing is None else float(mixing),
        chemistry=pot.resin.chemistry,
    )
    try:
        return dosing.dose(asked, pot.sheet, pot.law, others=lambda: _others(pot))
    except (TooCold, TooHot, PeroxideLimit) as refused:
        air = pot.heat.air
        if pot.heat.basis == "given" or air is None or air.basis == "measured":
            raise
        raise type(refused)(
            f"{refused.detail} Nobody measured that: {air.words(pot.now)}.",
            advice="Read the bay, or give the resin's own temperature: cureyard bay read "
            f"{air.bay.code} TEMP. {refused.advice}",
            pointer=refused.pointer,
            **refused.fields,
        ) from refused


def more_time(pot: Asked) -> str:
    """What leaves more time before a pot gels, in words."""
    return dosing.more_time(pot.sheet, pot.heat.temperature, lambda: _others(pot))


def _others(pot: Asked) -> list[dosing.Other]:
    """The other catalysts or hardeners that the resin has sheets with."""
    taken = pot.catalyst.code_key if pot.catalyst else ""
    named = [
        (kept.sheet, finding.product(code, "/catalyst"))
        for kept in cure_sheets.current(pot.resin.id)
        for code in kept.sheet.partners
    ]
    return [
        dosing.Other(partner.code, sheet, strength_of(sheet, partner))
        for sheet, partner in named
        if partner.code_key != taken
    ]


def cautions_of(pot: Asked) -> list[str]:
    """What can hurt whoever mixes a pot."""
    partner = natures_of(pot.catalyst) if pot.catalyst else frozenset()
    return cautions.for_mix(pot.sheet.mix.kind, pot.resin.chemistry, partner, filled=pot.filled)


def show(pot: Asked, dose: Dose) -> dict[str, Any]:
    """A dose for an answer: what to weigh, when it goes off, what that rests on."""
    return {
        "resin": pot.resin.code,
        "amount": pot.resin_mg,
        "catalyst_percent": round(dose.percent, 4),
        "percent_as_measured": round(dose.percent_as_measured, 4),
        "catalyst": {
            "product": pot.catalyst.code if pot.catalyst else None,
            "mass": dose.mass,
            "volume": dose.volume,
        },
        "gel": {
            "time": dose.gel.time,
            "earliest": dose.gel.earliest,
            "latest": dose.gel.latest,
        },
        "pot": {"at_most": dose.pot_at_most, "working_time": dose.working_time},
        "film": {
            "time": dose.film,
            "note": "by the sheet" if dose.film else "later than the cup: test by glove",
        },
        "limited_by": dose.limited_by,
        "basis": _basis(pot, dose),
        "warnings": [*dose.warnings, *_warnings(pot, dose)],
        "advice": [*dose.advice, *_bay_advice(pot)],
        "cautions": cautions_of(pot),
    }


def layer_of(pot: Asked, dose: Dose) -> Layer:
    """What the pot will be once it is laid down, for a look ahead."""
    dosed = pot.sheet.mix.kind == "catalysed"
    percent = dose.percent_as_measured * pot.strength if dosed else None
    return Layer(
        sheet=pot.sheet,
        law=pot.law,
        pots=(LaidPot(percent, pot.factor, pot.at, unsure=pot.filled),),
        finished=pot.at,
        surface=surface_of(pot.sheet.surface, pot.effects),
    )


def _heat(temperature: Decimal | None, bay: str | None, job: Job | None, at: int) -> Heat:
    if temperature is None:
        if bay is None:
            raise Invalid(
                "Give the resin's temperature, a bay, or both.",
                advice="The resin's own temperature doses best; the bay tells of the night.",
            )
        air = bay_air.taken(finding.bay(bay, "/bay"), at)
        wide = bay_air.uncertainty(air.bay, measured_on_part=False)
        return Heat(air.temperature, wide, "bay", air)
    place, why = (finding.bay(bay, "/bay"), "") if bay else _shop(job)
    known = None if place is None else bay_air.taken(place, at)
    return Heat(float(temperature), THERMOMETER_K, "given", known, why)


def _shop(job: Job | None) -> tuple[Bay | None, str]:
    """The bay that a pot's part will lie in where nobody named it, and words on that."""
    lying = [] if job is None else layups.bays_of_job(job.id)
    if job is not None and len(lying) == 1:
        return lying[0], f"{lying[0].code} is looked at for the night: job {job.number} lies there."
    only = bays.only_bay()
    if only is not None:
        return only, f"{only.code} is looked at for the night: it is the yard's only bay."
    return None, "No bay is named, so nobody looks ahead at the night: name the bay as well."


def _first_lot(product: Product, amount: int, at: int) -> Lot | None:
    """The lot that the resin would come from first; None while none would do."""
    on, stock = moments.day_of(at), on_shelf(product)
    good = {row.id: row for row in stock.rows if stock.state(row, on) not in ("held", "expired")}
    spare = remainders.spares({row.id: row.on_hand for row in good.values()}, amount)
    shelved = [
        Shelved(row.id, stock.ends[row.id], row.on_hand, spare.get(row.id, 0))
        for row in good.values()
    ]
    try:
        return good[picking.pick(amount, shelved, measure="mass", what="")[0].lot]
    except Refusal:
        return None


def _basis(pot: Asked, dose: Dose) -> dict[str, Any]:
    test = pot.cup_test
    return {
        "law": asdict(show_law(pot.law)),  # kept on the mix card as JSON
        "extrapolated": dose.extrapolated,
        "temperature": pot.heat.temperature,
        "uncertainty": pot.heat.uncertainty,
        "temperature_basis": pot.heat.basis,
        "air": None if pot.heat.air is None else asdict(pot.heat.air.show()),
        "factor": round(pot.factor, 4),
        "factor_basis": "assumed" if test is None else f"cup test {test.id}",
        "cure_revision": pot.kept.revision,
    }


def _warnings(pot: Asked, dose: Dose) -> list[str]:
    warnings = []
    if pot.law.assumed:
        what = {"E": "temperature", "n": "catalyst"}
        parts = " and ".join(what[name] for name in pot.law.assumed)
        warnings.append(f"The sheet's gel times don't tell the effect of {parts}: assumed.")
    warnings += [f"Odd cure sheet: {flag}." for flag in pot.law.flags]
    if pot.cup_test is not None and pot.cup_test.verdict == "caution":
        warnings.append("The lot drifts: its last cup test was out of the usual.")
    if pot.heat.basis == "bay" and pot.heat.air is not None:
        warnings.append(
            "The bay's air stands in for the resin's temperature: "
            f"{pot.heat.air.words(pot.now)}. Give the resin's own for a narrower band."
        )
    return warnings + night_words(pot, dose)


def _bay_advice(pot: Asked) -> list[str]:
    """Which bay is looked at; of no matter to what cures at any temperature."""
    return [pot.heat.why] if pot.heat.why and pot.sheet.cure_min is not None else []


def _stock_words(pot: Asked, dose: Dose) -> list[str]:
    today = moments.day_of(pot.at)
    found = pot_stock.words(pot.resin, pot.resin_mg, today)
    if pot.catalyst is not None and dose.mass:
        found += pot_stock.words(pot.catalyst, dose.mass, today)
    return found


def night_words(pot: Asked, dose: Dose) -> list[str]:
    """A caution where its bay gets too cold before the pot is hard; nothing without a bay."""
    bay = pot.heat.bay
    if bay is None:
        return []
    air = bay_air.trace(bay, pot.at, pot.at + bay_air.AHEAD_S)
    cold = cold_ahead(layer_of(pot, dose), air, float(units.kelvin(bay.uncertainty_mk)))
    if cold is None:
        return []
    floor = worded.heat(cold.floor, 0)
    start = f"{bay.code} may go under {floor} from {moments.clock(cold.cold_from)}, before it "
    if cold.heat_until is None:
        return [f"{start}is hard: do not start."]
    return [f"{start}is hard: do not start, or {cold.remedy(moments.clock)}."]
