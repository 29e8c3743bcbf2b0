"""Look a pot up: its products, its cure sheet, its lot, and how warm the resin is taken to be."""

from __future__ import annotations

from decimal import Decimal
from math import exp
from typing import Literal

from ...core.amounts.quantities import Given
from ...core.errors import Invalid, Refusal
from ...core.frozen import frozen
from ...core.products.cure_sheet import CureSheet
from ...core.products.evidence import Belief
from ...core.products.gel_law import GelLaw
from ...core.stock import picking
from ...core.stock.picking import Shelved
from ...store import bays
from ...store.bays import Bay
from ...store.cure import brackets
from ...store.products import Product
from ...store.stock.cup_tests import CupTest, cup_test_at, of_resins
from ...store.stock.jobs import Job
from ...store.stock.lots import Lot
from ..bays.air_taken import Taken
from ..products import cure_sheets
from ..products.cure_sheets import Kept, strength_of
from ..products.pair_law import law_of_pair
from ..products.stuff import stuff_of
from ..stock import remainders
from ..stock.lot_life import on_shelf
from ..yard import conversions, finding, moments

THERMOMETER_K = 1.0
"""Uncertainty of a temperature that a hand gives, K (a shop thermometer; common practice)."""


@frozen
class Heat:
    """How warm the resin is taken to be: K, its uncertainty, and how that is known.

    Attributes:
        basis: `given`, or `bay` where the bay's air is taken for the resin's temperature.
        air: of the bay that the part will lie in, None where no bay is known.
        why: words on a bay that nobody named, or that somebody should name; else empty.
    """

    temperature: float
    uncertainty: float
    basis: Literal["given", "bay"]
    air: Taken | None = None
    why: str = ""

    @property
    def bay(self) -> Bay | None:
        """The bay that the part will lie in."""
        return None if self.air is None else self.air.bay


@frozen
class Asked:
    """A pot to dose, looked up in the store.

    Attributes:
        resin_mg: mass of resin in the pot, with the additives that count as resin.
        lot: the lot that the resin would come from first, or None.
        cup_test: the last test of that lot, or None.
        filled: thickened with a filler. effects: of additives.
        at: when it is mixed, epoch s.
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
        """Gel time of the resin's lot over the sheet's, as expected."""
        return exp(self.belief.mean)

    @property
    def belief(self) -> Belief:
        """What is believed of how the resin's lot gels."""
        return self.law.belief(self.lot.id if self.lot else None)

    @property
    def greatest_pot(self) -> int:
        """The greatest pot, resin + hardener, mg."""
        return self.sheet.greatest_pot(self.resin.chemistry)

    @property
    def strength(self) -> float:
        """Active oxygen of the catalyst over that of the sheet's, within one peroxide type."""
        return strength_of(self.sheet, self.catalyst)


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
    """Look up the things that a pot names.

    Args:
        amount: of resin, by mass or volume. at: when it is mixed, epoch s.
        temperature: of the resin, K. bay: that the part will lie in: for the night's cold, and
            its air is taken for a temperature that is not given.
        job: where no bay is named, the bay that its layups lie in.
        added_mg: of additives that count as resin. effects: of additives.

    Raises:
        UnknownReference, CureSheetMissing. Invalid: neither temperature nor bay.
        PartnerMissing: the sheet has several partners, and none is named.
    """
    product = finding.product(resin, "/resin")
    kept, partner = cure_sheets.pair(product, catalyst)
    mass = conversions.in_ledger(amount, stuff_of(product), "/amount")
    if mass <= 0:
        raise Invalid("The pot has no resin.", advice="Give the resin's amount.", pointer="/amount")
    lot = resin_lot or _first_lot(product, mass, at)
    return Asked(
        resin=product,
        catalyst=partner,
        kept=kept,
        law=law_of_pair(
            kept.sheet, partner, of_resins([product.id]), brackets.of_resins([product.id], at), at
        ),
        heat=_heat(temperature, bay, job, at),
        resin_mg=mass + added_mg,
        lot=lot,
        cup_test=cup_test_at(lot.id, at) if lot else None,
        filled=filled,
        effects=effects,
        at=at,
        now=now,
    )


def _heat(temperature: Decimal | None, bay: str | None, job: Job | None, at: int) -> Heat:
    if temperature is None:
        if bay is None:
            raise Invalid(
                "The dose needs the resin's temperature or a bay.",
                advice="The resin's own temperature gives the best dose; with a bay the night is "
                "checked.",
            )
        from ..bays import air

        taken = air.taken(finding.bay(bay, "/bay"), at)
        return Heat(taken.temperature, air.of_resin(taken.bay, at), "bay", taken)
    lies_in, why = (finding.bay(bay, "/bay"), "") if bay else _shop(job)
    if lies_in is None:
        return Heat(float(temperature), THERMOMETER_K, "given", None, why)
    from ..bays import air  # late, as above: most doses name no bay

    return Heat(float(temperature), THERMOMETER_K, "given", air.taken(lies_in, at), why)


def _shop(job: Job | None) -> tuple[Bay | None, str]:
    """The bay that the part will lie in, where nobody named it; and words on that."""
    if job is not None:
        from ...store.cure import layups  # late: most doses name no job

        lying = layups.bays_of_job(job.id)
        if len(lying) == 1:
            there = lying[0]
            return there, f"{there.code} is checked for the night: job {job.number} lies there."
    only = bays.only_bay()
    if only is not None:
        return only, f"{only.code} is checked for the night: it is the yard's only bay."
    return None, "No bay is named, so the night is not checked: name the bay as well."


def _first_lot(product: Product, amount: int, at: int) -> Lot | None:
    """The lot that the resin would come from first; None if no lot may be used."""
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
