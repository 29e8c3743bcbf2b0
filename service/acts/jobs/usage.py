"""What a job used: planned against drawn, waste, cost, how warm it cured, who did what."""

from __future__ import annotations

from collections import Counter
from typing import Any

from ...core.products import cautions
from ...store.stock import needs
from ...store.stock.jobs import Job
from ...store.stock.lines import Movement, of_job
from ...store.stock.lots import is_offcut
from ...store.yard import overrides
from ..products.product import kind_of
from . import job as open_job
from . import used_lots, used_work
from .used_work import Work

DID = {"draw": "drew", "return": "brought back", "scrap": "scrapped"}


def usage(job: Job, now: int) -> dict[str, Any]:
    """The page that a surveyor asks for; what was undone is not on it."""
    lines = of_job(job.id, DID)
    work = used_work.of_job(job, now)
    lots = used_lots.show(lines)
    facts = open_job.show_job(job)
    return {
        "job": job.number,
        **{name: facts[name] for name in (
            "title", "craft", "structural", "authority", "state", "opened_at", "closed_at",
        )},
        "products": _products(job, lines),
        "lots": lots,
        "returned": used_lots.returned(lines),
        "totals": _totals(lots),
        "warnings": [
            f"Lot {lot['number']} of {lot['product']} has no cost: it is in no total."
            for lot in lots
            if lot["cost"] is None
        ],
        "batches": used_work.show_pots(work, lines),
        "layups": used_work.show_layups(work, now),
        "people": _people(lines, work),
        "overrides": _overrides(job),
        "cautions": _cautions(job),
    }  # fmt: skip


def _products(job: Job, lines: list[Movement]) -> list[dict[str, Any]]:
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
    found = [
        {
            "product": product.code,
            "name": product.name,
            "planned": (planned[each], kind_of(product)),
            "drawn": (drawn[each], kind_of(product)),
            "wasted": (wasted[each], kind_of(product)),
        }
        for each, product in products.items()
    ]
    return sorted(found, key=lambda row: str(row["product"]))


def _totals(lots: list[dict[str, Any]]) -> list[dict[str, Any]]:
    minor: Counter[str] = Counter()
    for lot in lots:
        if lot["cost"] is not None:
            minor[lot["cost"]["currency"]] += round(lot["cost"]["amount"] * 100)
    return [{"amount": minor[name] / 100, "currency": name} for name in sorted(minor)]


def _people(lines: list[Movement], work: Work) -> list[dict[str, Any]]:
    """Who did what how often; a name that a login proved is not one that was only given."""
    did: Counter[tuple[str, bool, str]] = Counter()
    did.update((r.who, r.verified, DID[r.kind]) for r in lines if r.batch_id is None)
    did.update((row.who, row.verified, "mixed") for row in work.pots)
    did.update((each.row.who, each.row.verified, "laid up") for each in work.laid)
    did.update((s.who, s.verified, "observed") for each in work.laid for s in each.seen)
    return [
        {"who": who, "verified": verified, "did": what, "times": times}
        for (who, verified, what), times in sorted(did.items())
    ]


def _overrides(job: Job) -> list[dict[str, Any]]:
    return [
        {"slug": row.slug, "reason": row.reason, "lot": row.lot_id, "batch": row.batch_id,
         "layup": row.layup_id, "who": row.who, "verified": row.verified, "at": row.recorded_at}
        for row in overrides.of_job(job.id)
    ]  # fmt: skip


def _cautions(job: Job) -> list[str]:
    """What such a page never replaces."""
    load = (cautions.STRUCTURE, cautions.SIGN_OFF) if job.structural != "no" else ()
    return [cautions.SHEETS_RULE, *load]
