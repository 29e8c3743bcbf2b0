"""A product's lots with something in them, and when each ends: looked up once for whoever asks."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from ...core.stock import lots
from ...core.stock.lots import State
from ...store import tables
from ...store.stock import lots as shelf
from .lot_end import lives_of


@dataclass(frozen=True)
class OnShelf:
    """What there is of a product.

    Attributes:
        rows: its lots, in the order received. lives: lot id → what bounds its life.
        ends: lot id → its last good day, None if it never ends.
    """

    product: tables.Product
    rows: tuple[tables.Lot, ...]
    ends: Mapping[int, date | None]
    lives: Mapping[int, lots.Life]

    def state(self, row: tables.Lot, on: date) -> State:
        """How a lot stands on a day."""
        return lots.state(self.lives[row.id], on=on, on_hand=row.on_hand, held=row.held)


def on_shelf(product: tables.Product) -> OnShelf:
    """What there is of a product, in two queries however many lots it has."""
    rows = tuple(shelf.stocked_lots_of(product.id))
    for row in rows:
        row.product = product
    lives = lives_of(rows)
    ends = {lot: lots.expires_on(life) for lot, life in lives.items()}
    return OnShelf(product, rows, ends, lives)
