"""Warn of mats whose binder epoxy does not dissolve, before they are wetted out."""

from __future__ import annotations

from collections.abc import Iterable

from ...core.cure import compatibility
from ...core.words import Text
from ...store.products import Product, bound_products
from ...store.stock import needs
from ...store.stock.jobs import Job


def words(products: Iterable[Product], resin: Product) -> list[Text]:
    """A word on each reinforcement whose binder the resin does not dissolve."""
    found: list[Text] = []
    for product in products:
        finding = compatibility.on_mat(resin.chemistry, product.binder)
        if finding is not None:
            found.append(f"{finding.severity.capitalize()}: {product.code}: {finding.reason}.")
    return found


def words_of_job(job: Job, resin: Product) -> list[Text]:
    """As `words`, on the reinforcements that a job needs or drew."""
    if resin.chemistry != "epoxy":
        return []
    needed = {row.product_id for row in needs.of_job(job.id)}
    rows = bound_products(job.id, compatibility.BOUND, needed)
    return words(rows, resin)
