"""A job's record: planned against drawn, waste, cost, temperatures of cure, who did what."""

from __future__ import annotations

from collections import Counter
from typing import Annotated

from ...core.amounts.views import Code, Moment, Says, Stock, View
from ...core.frozen import frozen
from ...core.products import cautions
from ...store.engine.columns import LARGEST
from ...store.stock import needs, signatures
from ...store.stock.jobs import Job, State, Structural
from ...store.stock.lines import Movement, of_job
from ...store.stock.lots import is_offcut
from ...store.yard import heads, overrides
from ..cure import acceptance
from ..cure.acceptance import AcceptanceView
from ..products.stuff import kind_of
from ..stock.lot import MoneyView
from . import used_lots, used_work
from .job import show_job
from .signature import SignatureView, show_signature
from .used_lots import Returned, UsedLot
from .used_work import UsedLayup, UsedPot, Work

DID = {"draw": "drew", "return": "brought back", "scrap": "scrapped"}


@frozen
class UsedProduct(View):
    """Planned against drawn."""

    product: Code
    name: str
    planned: Stock
    drawn: Annotated[Stock, Says("Less what was brought back; offcuts of sheets apart.")]
    wasted: Stock


@frozen
class DidView(View):
    """Who did what, how often; `verified` where a login proved the name."""

    who: str
    verified: bool
    did: str
    times: int


@frozen
class UsedOverride(View):
    """A refusal that was set aside for the job."""

    slug: str
    reason: str
    lot: int | None
    batch: int | None
    layup: int | None
    who: str
    verified: bool
    at: Moment


@frozen
class UsageView(View):
    """What a job used."""

    job: Code
    title: str
    craft: str
    structural: Structural
    authority: str | None
    state: State
    opened_at: Moment
    closed_at: Moment | None
    products: list[UsedProduct]
    lots: list[UsedLot]
    returned: list[Returned]
    totals: list[MoneyView]
    warnings: list[str]
    batches: list[UsedPot]
    layups: list[UsedLayup]
    people: list[DidView]
    overrides: list[UsedOverride]
    acceptance: Annotated[
        list[AcceptanceView], Says("The layups that answer for their stack, and what each lacks.")
    ]
    signatures: list[SignatureView]
    cautions: list[str]
    head: str | None


def usage(job: Job, now: int) -> UsageView:
    """The record that a surveyor asks for; reversed movements are not in it."""
    lines = of_job(job.id, DID)
    work = used_work.of_job(job, now)
    lots = used_lots.show(lines)
    facts = show_job(job)
    return UsageView(
        job=facts.number,
        title=facts.title,
        craft=facts.craft,
        structural=facts.structural,
        authority=facts.authority,
        state=facts.state,
        opened_at=facts.opened_at,
        closed_at=facts.closed_at,
        products=_products(job, lines),
        lots=lots,
        returned=used_lots.returned(lines),
        totals=_totals(lots),
        warnings=[
            f"Lot {lot.number} of {lot.product} has no cost: it is in no total."
            for lot in lots
            if lot.cost is None
        ],
        batches=used_work.show_pots(work, lines),
        layups=used_work.show_layups(work, now),
        people=_people(lines, work),
        overrides=_overrides(job),
        acceptance=acceptance.of_layups(work.laid, now, as_known_at=_signed_at(job)),
        signatures=[show_signature(*each) for each in signatures.of_jobs([job.id])[job.id]],
        cautions=_cautions(job),
        head=heads.head(),
    )


def _signed_at(job: Job) -> int:
    """When the job was signed, epoch s: what is recorded later changes nothing of its record."""
    signed = signatures.standing(job.id)
    return LARGEST if signed is None else signed.recorded_at


def _products(job: Job, lines: list[Movement]) -> list[UsedProduct]:
    wanted = needs.of_job(job.id)
    products = {row.product_id: row.product for row in wanted}
    products |= {line.lot.product_id: line.lot.product for line in lines}
    planned, drawn, wasted = Counter[int](), Counter[int](), Counter[int]()
    for need in wanted:
        planned[need.product_id] += need.amount
    for line in lines:
        if line.kind == "scrap":
            wasted[line.lot.product_id] -= line.amount
        elif not is_offcut(line.lot):
            drawn[line.lot.product_id] -= line.amount
    kinds = {each: kind_of(product) for each, product in products.items()}
    found = [
        UsedProduct(
            product=product.code,
            name=product.name,
            planned=(planned[each], kinds[each]),
            drawn=(drawn[each], kinds[each]),
            wasted=(wasted[each], kinds[each]),
        )
        for each, product in products.items()
    ]
    return sorted(found, key=lambda row: row.product)


def _totals(lots: list[UsedLot]) -> list[MoneyView]:
    """The costs of all lots, by currency."""
    minor: Counter[str] = Counter()
    for lot in lots:
        if lot.cost is not None:
            minor[lot.cost.currency or ""] += round(lot.cost.amount * 100)
    return [MoneyView(minor[name] / 100, name or None) for name in sorted(minor)]


def _people(lines: list[Movement], work: Work) -> list[DidView]:
    """Who did what, how often; a name that a login proved is counted apart from one only given."""
    did: Counter[tuple[str, bool, str]] = Counter()
    did.update((r.who, r.verified, DID[r.kind]) for r in lines if r.batch_id is None)
    did.update((row.who, row.verified, "mixed") for row in work.pots)
    did.update((each.row.who, each.row.verified, "laid up") for each in work.laid)
    did.update((s.who, s.verified, "observed") for each in work.laid for s in each.seen)
    return [DidView(*each, times) for each, times in sorted(did.items())]


def _overrides(job: Job) -> list[UsedOverride]:
    return [
        UsedOverride(
            slug=row.slug,
            reason=row.reason,
            lot=row.lot_id,
            batch=row.batch_id,
            layup=row.layup_id,
            who=row.who,
            verified=row.verified,
            at=row.recorded_at,
        )
        for row in overrides.of_job(job.id)
    ]


def _cautions(job: Job) -> list[str]:
    """Cautions on what a record never replaces."""
    load = (cautions.STRUCTURE, cautions.SIGN_OFF) if job.structural != "no" else ()
    return [cautions.SHEETS_RULE, *load]
