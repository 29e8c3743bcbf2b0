"""Which lots of a product are kept for which job, worked out whenever somebody looks."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from ..core import reserving
from ..core.reserving import Kept, Stocked, Want
from ..store import needs, shelf, tables
from .lot_end import last_days


@dataclass(frozen=True)
class Reserved:
    """A product's needs, the lots that may serve them, and what is kept for which.

    Attributes:
        wants: what each need of an open job has still to take. lots: in date or not.
        rows: the lots' rows by id. today: the day in the yard that it was worked out for.
    """

    wants: tuple[Want, ...]
    lots: tuple[Stocked, ...]
    rows: Mapping[int, tables.Lot]
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
        """What is kept for a need."""
        return [kept for kept in self.kept if kept.need == need]

    def free(self) -> int:
        """What others may take of the lots that are in date, in stock units."""
        good = [lot for lot in self.lots if lot.last_day is None or lot.last_day >= self.today]
        return sum(lot.on_hand for lot in good) - sum(kept.amount for kept in self.kept)

    def harmed_by(self, job: int | None, taken: Mapping[int, int]) -> list[int]:
        """Ids of other jobs that would get less, if so much of these lots were taken."""
        lots = [Stocked(o.id, o.last_day, o.on_hand - taken.get(o.id, 0)) for o in self.lots]
        others = [want for want in self.wants if want.job != job]
        after = _by_job(reserving.assign(others, lots, self.today))
        before = _by_job(kept for kept in self.kept if kept.job != job)
        return sorted(other for other, amount in before.items() if after[other] < amount)


def of_product(product: tables.Product, today: date) -> Reserved:
    """How a product's stock is reserved on a day in the yard."""
    wants = needs.wants(needs.of_open_jobs(product.id))
    rows = _servable(product.id)
    ends = last_days(list(rows.values()))
    lots = [Stocked(row.id, ends[row.id], row.on_hand) for row in rows.values()]
    kept = reserving.assign(wants, lots, today)
    return Reserved(tuple(wants), tuple(lots), rows, tuple(kept), today)


def of_lots(rows: Iterable[tables.Lot], today: date) -> dict[int, int]:
    """Lot id → how much of it is reserved on a day, in stock units."""
    rows = list(rows)
    wanted = {need.product_id for need in needs.of_open_jobs()}
    held: Counter[int] = Counter()
    products = {row.product_id: row.product for row in rows if row.product_id in wanted}
    for product in products.values():
        held.update(of_product(product, today).by_lot())
    return {row.id: held[row.id] for row in rows}


def _servable(product_id: int) -> dict[int, tables.Lot]:
    stocked = shelf.stocked_lots_of(product_id)
    return {row.id: row for row in stocked if not row.held and not needs.is_offcut(row)}


def _by_job(kept: Iterable[Kept]) -> Counter[int]:
    total: Counter[int] = Counter()
    for each in kept:
        total[each.job] += each.amount
    return total
