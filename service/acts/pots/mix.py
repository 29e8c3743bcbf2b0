"""Mix a pot: dose it, draw it, record it, in one transaction; the answer is the mix card."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from math import ceil, floor
from typing import Any

from ...core.amounts.quantities import MASS, Given
from ...core.errors import Invalid
from ...core.pots.pot import Dose
from ...core.products.materials import CURING_ROLES
from ...store.cure import pots
from ...store.cure.pots import Batch
from ...store.engine.database import writing
from ...store.products import Product
from ...store.stock.jobs import Job
from ...store.stock.lines import Movement, draws_of_batch, draws_of_batches
from ...store.stock.lots import Lot
from ...store.yard.hands import Hand
from ..cure import authority, binders, gates, one_lot
from ..products.nature import natures_of
from ..products.product import stuff_of
from ..stock.draw import Booking, Planned, amount_of, carry_out, plan, plan_from, show_movement
from ..yard import conversions as units
from ..yard import finding, moments
from ..yard import permissions as leave
from . import dose as dose_pot
from . import parts as pot_parts
from . import promoter as promoters
from .dose import Asked

AS_RESIN = frozenset({"waxes", "thins", "pigments"})
"""Additives with these effects count as resin for the dose (common practice, no source)."""


@dataclass(frozen=True)
class Added:
    """Something stirred in: a filler, wax solution, colour paste."""

    product: Product
    quantity: Given
    mass: int

    @property
    def effects(self) -> tuple[str, ...]:
        """What it does to the mix."""
        return tuple(self.product.effects.split())

    @property
    def counts_as_resin(self) -> bool:
        """Whether the catalyst's percent is of it too."""
        return bool(AS_RESIN & set(self.effects))

    @property
    def cures(self) -> bool:
        """Whether it sets off or makes the cure: a peroxide or isocyanate, whatever its role."""
        hot = natures_of(self.product) & {"peroxide", "isocyanate"}
        return bool(hot) or self.product.role in ("catalyst", "hardener")

    @property
    def promotes(self) -> bool:
        """Whether it must never meet peroxide undiluted."""
        return "promoter" in natures_of(self.product)


def mix(
    *,
    resin: str,
    amount: Given,
    job: str,
    now: int,
    hand: Hand,
    catalyst: str | None = None,
    temperature: Decimal | None = None,
    bay: str | None = None,
    target_gel: Decimal | None = None,
    catalyst_percent: Decimal | None = None,
    mixing: Decimal | None = None,
    resin_lot: int | None = None,
    catalyst_lot: int | None = None,
    fillers: list[dict[str, Any]] | None = None,
    promoter: dict[str, Any] | None = None,
    mixed_at: int | None = None,
    override: dict[str, str] | None = None,
) -> dict[str, Any]:
    """Mix a pot for a job.

    Args:
        resin_lot, catalyst_lot: ids; without them first expired goes first out.
        fillers: each a `product` and a `quantity`, stirred in.
        promoter: a `product` and a `quantity`, stirred into the resin before the catalyst.
        mixed_at: epoch s; now when it is not said.
        override: a `reason` to use lots that would be refused.

    Raises:
        As `dose_pot.look_up`, `dosing.dose`, `draw.draw` and, where the yard's profile holds
        pots back, `gates.check_pot`; then nothing is drawn.
    """
    with writing():
        at = moments.happened(mixed_at, now, "/mixed_at", by=hand)
        work = finding.open_job(job, "/job")
        booking = Booking("draw", at, now, hand, work, override=leave.reason_of(override, hand))
        stopped = gates.check_pot(work, at, bay, booking.override)
        added = [_added(number, item) for number, item in enumerate(fillers or ())]
        poured = _resin(resin, amount, resin_lot, booking)
        pot = dose_pot.look_up(
            resin=resin,
            amount=amount,
            at=at,
            now=now,
            catalyst=catalyst,
            temperature=temperature,
            bay=bay,
            job=work,
            filled=any(not item.counts_as_resin for item in added),
            resin_lot=poured.lines[0].lot,
            added_mg=sum(item.mass for item in added if item.counts_as_resin),
            effects=tuple(effect for item in added for effect in item.effects),
        )
        _check(pot, added)
        first = promoters.read(promoter, pot.resin, pot.sheet)
        dose = dose_pot.work_out(pot, target_gel, catalyst_percent, mixing)
        dosed = _catalyst(pot, dose, catalyst_lot, booking)
        stirred_in = [plan(item.product, item.quantity, booking) for item in added]
        poured.warnings += gates.words(stopped)
        before = [plan(first.product, first.quantity, booking)] if first else []
        plans = [poured, *before, *([dosed] if dosed else []), *stirred_in]
        told = {**dose_pot.show(pot, dose), "promoter": promoters.show(first)}
        told["warnings"] += promoters.words(first, pot.resin, pot.sheet)
        told["warnings"] += [] if pot.filled else binders.words_of_job(work, pot.resin)
        told["warnings"] += authority.unasked_words(work) + authority.pot_words(work, now)
        told["warnings"] += [word for planned in plans for word in planned.warnings]
        lots = [line.lot for planned in plans for line in planned.lines]
        told["warnings"] += one_lot.of_pot(work, lots)
        as_resin = [p for p, i in zip(stirred_in, added, strict=True) if i.counts_as_resin]
        taken = pot.resin_mg + sum(planned.missed for planned in (poured, *as_resin))
        batch = _batch(replace(pot, resin_mg=taken), dose, work, booking, poured, dosed, told)
        gates.record(stopped, batch, booking.override or "", now, hand)
        return _draw(batch, plans, replace(booking, batch=batch.id))


def _resin(resin: str, amount: Given, lot: int | None, booking: Booking) -> Planned:
    product = finding.product(resin, "/resin")
    amount_of(product, amount, "/amount")
    if lot is None:
        planned = plan(product, amount, booking)
    else:
        planned = plan_from(_lot_of(product, lot, "/resin_lot"), amount, booking)
    if len(planned.lines) > 1:
        planned.warnings.append(
            "Two lots of resin in one pot: gel coat and colour want one lot a face."
        )
    return planned


def _catalyst(pot: Asked, dose: Dose, lot: int | None, booking: Booking) -> Planned | None:
    if pot.catalyst is None or not dose.mass:
        return None
    dosed = Given(Decimal(dose.mass), MASS, f"{dose.mass / 1000:g} g")
    if lot is None:
        return plan(pot.catalyst, dosed, booking)
    return plan_from(_lot_of(pot.catalyst, lot, "/catalyst_lot"), dosed, booking)


def _lot_of(product: Product, lot: int, pointer: str) -> Lot:
    row = finding.lot(lot, pointer)
    if row.product_id != product.id:
        raise Invalid(
            f"Lot {row.number} is {row.product.code}, not {product.code}.",
            advice=f"Name a lot of {product.code}.",
            pointer=pointer,
        )
    return row


def _draw(batch: Batch, plans: list[Planned], booking: Booking) -> dict[str, Any]:
    """Draw what was planned; `words` are the warnings that arise only then."""
    drawn = [replace(planned, warnings=[]) for planned in plans]
    lines = [line for planned in drawn for line in carry_out(planned, booking)]
    words = [word for planned in drawn for word in planned.warnings]
    return show_batch(batch, lines, words)


def _batch(
    pot: Asked,
    dose: Dose,
    work: Job,
    booking: Booking,
    poured: Planned,
    dosed: Planned | None,
    told: dict[str, Any],
) -> Batch:
    return pots.add(
        now=booking.now,
        hand=booking.hand,
        job_id=work.id,
        resin_lot_id=poured.lines[0].lot.id,
        catalyst_lot_id=dosed.lines[0].lot.id if dosed else None,
        cure_sheet_id=pot.kept.id,
        resin_mg=pot.resin_mg,
        catalyst_mg=dose.mass + dosed.missed if dosed and dose.mass else dose.mass,
        catalyst_ul=dose.volume,
        percent_ppm=units.ppm(dose.percent_as_measured),
        temperature_mk=units.milli(pot.heat.temperature),
        temperature_basis=pot.heat.basis,
        factor_ppm=round(pot.factor * 1e6),
        cup_test_id=pot.cup_test.id if pot.cup_test else None,
        gel_s=round(dose.gel.time),
        gel_earliest_s=floor(dose.gel.earliest),
        gel_latest_s=ceil(dose.gel.latest),
        filled=pot.filled,
        answer=json.dumps(told),
        mixed_at=booking.at,
    )


def _added(number: int, item: dict[str, Any]) -> Added:
    product = finding.product(item["product"], f"/fillers/{number}/product")
    given: Given = item["quantity"]
    mass = units.in_ledger(given, stuff_of(product), f"/fillers/{number}/quantity")
    added = Added(product, given, mass)
    if added.counts_as_resin and product.measure != "mass":
        raise Invalid(
            f"{product.code} counts as resin, but is not kept by mass.",
            advice="Keep it in the catalogue under a role that is weighed, such as filler.",
            pointer=f"/fillers/{number}/product",
        )
    return added


def _check(pot: Asked, added: list[Added]) -> None:
    for number, item in enumerate(added):
        pointer = f"/fillers/{number}/product"
        if item.cures:
            raise Invalid(
                f"{item.product.code} is a catalyst or hardener: it goes in by the dose, and never "
                "as a filler.",
                advice="Name it as the pot's catalyst, if the resin's cure sheet names it.",
                pointer=pointer,
            )
        if item.product.role in CURING_ROLES - {"filler"} and not item.counts_as_resin:
            raise Invalid(
                f"{item.product.code} is cured by a dose of its own, and is no filler.",
                advice="Mix it in a pot of its own, or name more of the pot's resin.",
                pointer=pointer,
            )
    peroxide = pot.catalyst is not None and "peroxide" in natures_of(pot.catalyst)
    if (peroxide or pot.sheet.mix.kind == "catalysed") and any(i.promotes for i in added):
        raise Invalid(
            "Promoter and peroxide never go in together: they explode.",
            advice="Stir the promoter into the resin first, on its own; then dose the catalyst. "
            "Record it as 'promoter', not among the fillers.",
            pointer="/fillers",
        )


def show_batches(rows: Sequence[Batch]) -> list[dict[str, Any]]:
    """As `show_batch`, of some pots: in as few queries as of one."""
    lines = draws_of_batches([row.id for row in rows])
    return [show_batch(row, lines[row.id]) for row in rows]


def show_batch(
    row: Batch,
    lines: list[Movement] | None = None,
    words: list[str] | None = None,
) -> dict[str, Any]:
    """A pot as it was told when it was mixed, with what was drawn for it."""
    answer = json.loads(row.answer)
    lines = draws_of_batch(row.id) if lines is None else lines
    return {
        "promoter": None,
        **answer,
        "id": row.id,
        "job": row.job.number,
        "resin_lot": row.resin_lot_id,
        "catalyst_lot": row.catalyst_lot_id,
        "draws": [show_movement(line) for line in lines],
        "parts": pot_parts.parts(answer, lines),
        "mixed_at": row.mixed_at,
        "gel_at": _after(row.mixed_at, row.gel_s),
        "gel_at_earliest": _after(row.mixed_at, row.gel_earliest_s),
        "gel_at_latest": _after(row.mixed_at, row.gel_latest_s),
        "warnings": [*answer["warnings"], *(words or ())],
        "who": row.who,
        "verified": row.verified,
    }


def _after(moment: int, seconds: int | None) -> int | None:
    return None if seconds is None else moment + seconds
