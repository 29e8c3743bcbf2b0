"""The lots of a product that are reserved for each job, worked out for every question."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from datetime import date

from ...core.frozen import frozen
from ...core.stock import reserving
from ...core.stock.reserving import Kept, Stocked, Want
from ...store.products import Product
from ...store.stock import lots as shelf
from ...store.stock import needs
from ...store.stock.lots import Lot, is_offcut
from ...store.stock.needs import Need
from .lot_life import OnShelf, last_days, on_shelf


@frozen
class Reserved:
    """A product's needs, the lots that may serve them, and which lot is kept for which need.

    Attributes:
        wants: the amount that each need of an open job has still to take. lots: in date or not.
        rows: the lots' rows by id. today: the day in the yard that it was worked out for.
    """

    wants: tuple[Want, ...]
    lots: tuple[Stocked, ...]
    rows: Mapping[int, Lot]
    kept: tuple[Kept, ...]
    today: date

    def by_lot(self, *, but: int | None = None) -> Counter[int]:
        """Lot id → reserved amount in stock units; without those of the job `but`."""
        total: Counter[int] = Counter()
        for kept in self.kept:
            if kept.job != but:
                total[kept.lot] += kept.amount
        return total

    def for_need(self, need: int) -> list[Kept]:
        """The lots kept for a need."""
        return [kept for kept in self.kept if kept.need == need]

    def free(self) -> int:
        """The amount that nobody has reserved of the lots in date, in stock units."""
        good = [lot for lot in self.lots if lot.last_day is None or lot.last_day >= self.today]
        return sum(lot.on_hand for lot in good) - sum(kept.amount for kept in self.kept)

    def harmed_by(self, job: int | None, taken: Mapping[int, int]) -> list[int]:
        """Ids of the other jobs that would get less, if these amounts of lots were taken."""
        lots = [Stocked(o.id, o.last_day, o.on_hand - taken.get(o.id, 0)) for o in self.lots]
        others = [want for want in self.wants if want.job != job]
        after = _by_job(reserving.assign(others, lots, self.today))
        before = _by_job(kept for kept in self.kept if kept.job != job)
        return sorted(other for other, amount in before.items() if after[other] < amount)


def of_product(product: Product, today: date) -> Reserved:
    """The reservations of a product's stock on a day in the yard."""
    return of_stock(on_shelf(product), today)


def of_stock(stock: OnShelf, today: date) -> Reserved:
    """As `of_product`, for stock that was looked up before."""
    key = stock.product.id
    wanted = needs.of_open_jobs(key)
    return _worked_out(wanted, stock.rows, stock.ends, [key], today)[key]


def of_products(products: Sequence[Product], today: date) -> dict[int, Reserved]:
    """Product id → as `of_product`, for many products in as few queries as for one."""
    ids = [product.id for product in products]
    wanted = [row for row in needs.of_open_jobs() if row.product_id in ids]
    stocked = shelf.stocked_lots_of_all(ids)
    return _worked_out(wanted, stocked, last_days(stocked), ids, today)


def _worked_out(
    wanted: Sequence[Need],
    stocked: Sequence[Lot],
    ends: Mapping[int, date | None],
    ids: Sequence[int],
    today: date,
) -> dict[int, Reserved]:
    wants: dict[int, list[Want]] = {product: [] for product in ids}
    lots: dict[int, dict[int, Lot]] = {product: {} for product in ids}
    product_of = {row.id: row.product_id for row in wanted}
    for want in needs.wants(wanted):
        wants[product_of[want.need]].append(want)
    for row in stocked:
        if not row.held and not is_offcut(row):
            lots[row.product_id][row.id] = row
    return {product: _reserved(wants[product], lots[product], ends, today) for product in ids}


def _reserved(
    wants: Sequence[Want],
    rows: dict[int, Lot],
    ends: Mapping[int, date | None],
    today: date,
) -> Reserved:
    lots = [Stocked(row.id, ends[row.id], row.on_hand) for row in rows.values()]
    kept = reserving.assign(wants, lots, today)
    return Reserved(tuple(wants), tuple(lots), rows, tuple(kept), today)


def of_lots(rows: Iterable[Lot], today: date) -> dict[int, int]:
    """Lot id → its reserved amount on a day, in stock units."""
    rows = list(rows)
    wanted = {need.product_id for need in needs.of_open_jobs()}
    held: Counter[int] = Counter()
    products = {row.product_id: row.product for row in rows if row.product_id in wanted}
    for reserved in of_products(list(products.values()), today).values():
        held.update(reserved.by_lot())
    return {row.id: held[row.id] for row in rows}


def _by_job(kept: Iterable[Kept]) -> Counter[int]:
    total: Counter[int] = Counter()
    for each in kept:
        total[each.job] += each.amount
    return total
