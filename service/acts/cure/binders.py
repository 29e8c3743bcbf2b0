"""Mat that a binder holds, and epoxy: said before it is wetted out, while that still helps."""

from __future__ import annotations

from collections.abc import Iterable

from ...core.cure import compatibility
from ...store import tables
from ...store.stock import needs


def words(products: Iterable[tables.Product], resin: tables.Product) -> list[str]:
    """A word on each reinforcement whose binder the resin does not dissolve."""
    found = []
    for product in products:
        finding = compatibility.on_mat(resin.chemistry, product.binder)
        if finding is not None:
            found.append(f"{finding.severity.capitalize()}: {product.code}: {finding.reason}.")
    return found


def words_of_job(job: tables.Job, resin: tables.Product) -> list[str]:
    """The same of what a job needs, or drew."""
    if resin.chemistry != "epoxy":
        return []
    drawn = (
        tables.Lot.select(tables.Lot.product)
        .join(tables.Movement, on=(tables.Movement.lot == tables.Lot.id))
        .where(tables.Movement.job == job.id, tables.Movement.kind == "draw")
    )
    needed = {row.product_id for row in needs.of_job(job.id)}
    of_job = tables.Product.id.in_(drawn) | tables.Product.id.in_(sorted(needed))
    rows = tables.Product.select().where(tables.Product.binder.in_(compatibility.BOUND), of_job)
    return words(rows.order_by(tables.Product.id), resin)
