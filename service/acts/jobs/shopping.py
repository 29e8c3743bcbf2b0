"""List what to buy: products that open jobs are short of, or that are below their reorder point."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable
from datetime import date
from typing import Annotated

from ...core.amounts.quantities import LENGTH
from ...core.amounts.views import Code, Stock, View
from ...core.frozen import frozen
from ...core.stock.reserving import Want
from ...store.engine.revisions import memory
from ...store.products import Product, find_products, wanted_or_reordered
from ...store.stock import lots as shelf
from ...store.stock import needs
from ...store.stock.jobs import numbers_of
from ..products.stuff import kind_of
from ..stock import reserve
from ..stock.reserve import Reserved
from ..yard import moments


@frozen
class BuyView(View):
    """A product to buy."""

    product: Code
    name: str
    supplier: str | None
    buy: Stock
    short: Stock
    below_reorder: Stock
    free: Stock
    longest_piece: Annotated[int, LENGTH] | None
    by: date | None
    jobs: list[Code]


@frozen
class ShoppingView(View):
    """What to buy, by supplier."""

    items: list[BuyView]


def shopping(now: int) -> ShoppingView:
    """What to buy for all open jobs and to reorder, by supplier; it is alike for a whole day."""
    today = moments.day_of(now)
    return memory().once(("shopping", today), lambda: _shopping(today))


def _shopping(today: date) -> ShoppingView:
    wanted = [row.product_id for row in needs.of_open_jobs()]
    products = wanted_or_reordered(wanted)
    reserved = reserve.of_products(products, today)
    numbers = _numbers(reserved.values())
    suppliers = shelf.last_suppliers(product.id for product in products)
    items = [
        _item(product, reserved[product.id], suppliers.get(product.id), numbers)
        for product in products
    ]
    bought = [item for item in items if item.buy[0]]
    return ShoppingView(sorted(bought, key=lambda item: (item.supplier or "\uffff", item.product)))


def lacking(now: int) -> dict[str, list[str]]:
    """Number of each open job that lacks something → the codes of the products that it lacks."""
    wanted = find_products(row.product_id for row in needs.of_open_jobs())
    reserved = reserve.of_products(wanted, moments.day_of(now))
    numbers, found = _numbers(reserved.values()), defaultdict[str, set[str]](set)
    for product in wanted:
        for want in reserved[product.id].wants:
            if _missing(want, reserved[product.id]):
                found[numbers[want.job]].add(product.code)
    return {number: sorted(codes) for number, codes in found.items()}


def _item(
    product: Product, reserved: Reserved, last_supplier: str | None, numbers: dict[int, str]
) -> BuyView:
    kind = kind_of(product)
    missing = {want: _missing(want, reserved) for want in reserved.wants}
    short = sum(sum(parts) for parts in missing.values())
    free = reserved.free()
    below = max(0, (product.reorder_at or 0) - free)
    waiting = [want for want, parts in missing.items() if parts]
    longest = max((max(missing[want]) for want in waiting if want.whole), default=None)
    return BuyView(
        product=product.code,
        name=product.name,
        supplier=product.supplier or last_supplier,
        buy=(short + below, kind),
        short=(short, kind),
        below_reorder=(below, kind),
        free=(free, kind),
        longest_piece=longest,
        by=min((want.by for want in waiting if want.by), default=None),
        jobs=sorted({numbers[want.job] for want in waiting}),
    )


def _missing(want: Want, reserved: Reserved) -> tuple[int, ...]:
    """The parts of a need that no lot is kept for."""
    kept = [kept.amount for kept in reserved.for_need(want.need)]
    if want.whole:
        return tuple((Counter(want.parts) - Counter(kept)).elements())
    short = want.short(sum(kept))
    return (short,) if short else ()


def _numbers(reserved: Iterable[Reserved]) -> dict[int, str]:
    """Job id → its number, for every job that has a need."""
    ids = {want.job for each in reserved for want in each.wants}
    return numbers_of(ids)
