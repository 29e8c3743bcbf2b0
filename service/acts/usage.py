"""What a job used: planned against drawn, waste, cost, how warm it cured, who did what."""

from __future__ import annotations

from collections import Counter, defaultdict
from typing import Any

from ..core.temperature import Trace
from ..store import needs, tables
from ..store.standing import standing
from . import lot_life, units, watch
from .add_product import kind_of

DID = {"draw": "drew", "return": "brought back", "scrap": "scrapped"}


def usage(job: tables.Job, now: int) -> dict[str, Any]:
    """The page that a surveyor asks for; what was undone is not on it."""
    lines = _lines(job)
    pots = list(tables.Batch.select().where(tables.Batch.job == job.id).order_by(tables.Batch.id))
    rows = tables.Layup.select().where(tables.Layup.job == job.id)
    laid = list(rows.order_by(tables.Layup.applied_at, tables.Layup.id))
    lots = _lots(lines)
    return {
        "job": job.number,
        "title": job.title,
        "craft": job.craft,
        "products": _products(job, lines),
        "lots": lots,
        "totals": _totals(lots),
        "warnings": [
            f"Lot {lot['number']} of {lot['product']} has no cost: it is in no total."
            for lot in lots
            if lot["cost"] is None
        ],
        "batches": [_pot(pot) for pot in pots],
        "layups": [_layup(row, now) for row in laid],
        "people": _people(lines, pots, laid),
        "overrides": _overrides(job),
    }


def _lines(job: tables.Job) -> list[tables.Movement]:
    rows = standing().where(tables.Movement.job == job.id, tables.Movement.kind.in_(list(DID)))
    return list(rows.order_by(tables.Movement.id))


def _products(job: tables.Job, lines: list[tables.Movement]) -> list[dict[str, Any]]:
    planned: Counter[int] = Counter()
    for need in needs.of_job(job.id):
        planned[need.product_id] += need.amount
    wasted: Counter[int] = Counter()
    for line in lines:
        wasted[line.lot.product_id] += -line.amount if line.kind == "scrap" else 0
    found = []
    for product_id in planned | {line.lot.product_id: 1 for line in lines}:
        product = tables.Product.get_by_id(product_id)
        kind = kind_of(product)
        drawn = sum(amount for _, amount in needs.net_drawn(job.id, product_id))
        found.append(
            {
                "product": product.code,
                "name": product.name,
                "planned": (planned[product_id], kind),
                "drawn": (drawn, kind),
                "wasted": (wasted[product_id], kind),
            }
        )
    return sorted(found, key=lambda row: str(row["product"]))


def _lots(lines: list[tables.Movement]) -> list[dict[str, Any]]:
    """Each lot's net amount and its share of the lot's cost; None where it has no cost."""
    by_lot: dict[int, list[tables.Movement]] = defaultdict(list)
    for line in lines:
        by_lot[line.lot_id].append(line)
    return [_lot(of_lot[0].lot, of_lot) for of_lot in by_lot.values()]


def _lot(lot: tables.Lot, lines: list[tables.Movement]) -> dict[str, Any]:
    known = [line for line in lines if line.cost_minor is not None]
    cost = {
        "amount": sum(line.cost_minor for line in known) / 100,
        "currency": known[0].currency if known else None,
    }
    return {
        "id": lot.id,
        "product": lot.product.code,
        "number": lot.number,
        "container": lot.container,
        "used": (-sum(line.amount for line in lines), kind_of(lot.product)),
        "expires_on": lot_life.last_day(lot),
        "cost": cost if known else None,
    }


def _totals(lots: list[dict[str, Any]]) -> list[dict[str, Any]]:
    minor: Counter[str] = Counter()
    for lot in lots:
        if lot["cost"] is not None:
            minor[lot["cost"]["currency"]] += round(lot["cost"]["amount"] * 100)
    return [{"amount": minor[name] / 100, "currency": name} for name in sorted(minor)]


def _pot(pot: tables.Batch) -> dict[str, Any]:
    return {
        "id": pot.id,
        "resin": pot.resin_lot.product.code,
        "amount": pot.resin_mg,
        "catalyst_percent": units.percent(pot.percent_ppm),
        "temperature": units.kelvin(pot.temperature_mk),
        "temperature_basis": pot.temperature_basis,
        "mixed_at": pot.mixed_at,
        "who": pot.who,
    }


def _layup(row: tables.Layup, now: int) -> dict[str, Any]:
    watched = watch.watch(row, now)
    air = watch.air_while_curing(watched, now)
    return {
        "id": row.id,
        "title": row.title,
        "kind": row.kind,
        "product": row.product.code,
        "bay": watched.bay.code,
        "applied_at": row.applied_at,
        "cured": None if air is None else _temperatures(air),
        "who": row.who,
    }


def _temperatures(air: Trace) -> dict[str, Any]:
    return {
        "from": air.start,
        "until": air.end,
        "min": float(air.T.min()),
        "mean": air.mean(),
        "max": float(air.T.max()),
        "basis": air.basis(air.start, air.end),
    }


def _people(
    lines: list[tables.Movement], pots: list[tables.Batch], laid: list[tables.Layup]
) -> list[dict[str, Any]]:
    did: Counter[tuple[str, str]] = Counter()
    did.update((line.who, DID[line.kind]) for line in lines if line.batch_id is None)
    did.update((pot.who, "mixed") for pot in pots)
    did.update((row.who, "laid up") for row in laid)
    seen = tables.LayupObservation.select().where(tables.LayupObservation.layup.in_(laid))
    did.update((row.who, "observed") for row in seen)
    return [{"who": who, "did": what, "times": times} for (who, what), times in sorted(did.items())]


def _overrides(job: tables.Job) -> list[dict[str, Any]]:
    rows = tables.Override.select().where(tables.Override.job == job.id)
    return [
        {"slug": row.slug, "reason": row.reason, "lot": row.lot_id, "who": row.who,
         "at": row.recorded_at}
        for row in rows.order_by(tables.Override.id)
    ]  # fmt: skip
