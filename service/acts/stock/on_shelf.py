"""A product's lots with something in them, and when each ends: looked up once for whoever asks."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from ...core.stock import lots
from ...core.stock.lots import State
from ...store.products import Product
from ...store.stock import lots as shelf
from ...store.stock.lots import Lot
from .lot_end import lives_of


@dataclass(frozen=True)
class OnShelf:
    """What there is of a product.

    Attributes:
        rows: its lots, in the order received. lives: lot id → what bounds its life.
        ends: lot id → its last good day, None if it never ends.
    """

    product: Product
    rows: tuple[Lot, ...]
    ends: Mapping[int, date | None]
    lives: Mapping[int, lots.Life]

    def state(self, row: Lot, on: date) -> State:
        """How a lot stands on a day."""
        return lots.state(self.lives[row.id], on=on, on_hand=row.on_hand, held=row.held)


def on_shelf(product: Product) -> OnShelf:
    """What there is of a product, in two queries however many lots it has."""
    rows = tuple(shelf.stocked_lots_of(product.id))
    lives = lives_of(rows)
    ends = {lot: lots.expires_on(life) for lot, life in lives.items()}
    return OnShelf(product, rows, ends, lives)
