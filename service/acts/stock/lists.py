"""Lists of stock: lots and movements."""

from __future__ import annotations

from ...store.stock import lines, lots
from ...store.stock.lots import Lot
from ...store.yard.hands import Hand
from ..yard import finding, moments
from . import lot as lot_life
from .draw import MovementView, show_movements
from .lot import LotView

LOTS_A_LOOK = 500
"""How many lots are judged at once in search of a state."""


def list_lots(
    after: int | None,
    limit: int,
    now: int,
    *,
    product: str | None = None,
    number: str | None = None,
    state: str | None = None,
    in_stock: bool = False,
) -> list[LotView]:
    """Lots by age, after the one with that id; of a product, a number or a state, or not empty."""
    of_product = None if product is None else finding.product(product).id

    def page(after: int | None, limit: int) -> list[Lot]:
        return lots.page(after, limit, product_id=of_product, number=number, in_stock=in_stock)

    if state is None:
        return lot_life.show_lots(page(after, limit), now)
    fitting: list[Lot] = []
    while len(fitting) < limit and (part := page(after, LOTS_A_LOOK)):
        states = lot_life.states_of(part, moments.day_of(now))
        fitting += [row for row in part if states[row.id] == state]
        after = part[-1].id
    return lot_life.show_lots(fitting[:limit], now)


def list_movements(
    after: int | None,
    limit: int,
    *,
    lot: int | None = None,
    job: str | None = None,
    by: Hand | None = None,
    waiting: bool = False,
) -> list[MovementView]:
    """Movements, newest first, after the one with that id; of a lot, a job or a hand.

    Args:
        waiting: only counts that no lead has accepted yet.
    """
    of_job = None if job is None else finding.job(job).id
    return show_movements(lines.newest(after, limit, lot=lot, job=of_job, by=by, waiting=waiting))
