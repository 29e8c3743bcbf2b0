"""A lot's life: its last day, its state on a day, and the stock of a product that is still good."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from ...core.frozen import frozen
from ...core.stock import lots
from ...core.stock.lots import Life, State
from ...store.products import Product, find_products
from ...store.stock import lots as shelf
from ...store.stock.lots import DatedLot, Lot
from ..products.nature import lacking_shelf_life, life_type_of


def life_of(row: Lot) -> Life:
    """The dates and times that bound a lot's life."""
    return _life(row, row.product, shelf.extended_to(row.id))


def lives_of(rows: Sequence[Lot]) -> dict[int, Life]:
    """Lot id → as `life_of`, for many lots in as few queries as for one."""
    extended = shelf.extensions(row.id for row in rows)
    return {row.id: _life(row, row.product, extended.get(row.id)) for row in rows}


def last_day(row: Lot) -> date | None:
    """The last day that a lot is good; None if it never ends."""
    return lots.expires_on(life_of(row))


def last_days(rows: Sequence[Lot]) -> dict[int, date | None]:
    """Lot id → the last day that it is good; None if it never ends."""
    return {lot: lots.expires_on(life) for lot, life in lives_of(rows).items()}


def state_of(row: Lot, on: date) -> State:
    """A lot's state on a day."""
    return state_by_life(row, life_of(row), on)


def states_of(rows: Sequence[Lot], on: date) -> dict[int, State]:
    """Lot id → its state on a day."""
    lives = lives_of(rows)
    return {row.id: state_by_life(row, lives[row.id], on) for row in rows}


def to_see_to(on: date) -> list[int]:
    """Ids of the stocked lots that are held, expired or soon will be, or whose date nobody gave."""
    rows = shelf.stocked_dates()
    known = {each.id: each for each in find_products(row.product_id for row in rows)}
    extended, lively = shelf.extensions(row.id for row in rows), lacking_shelf_life(known.values())
    lives = {row.id: _life(row, known[row.product_id], extended.get(row.id)) for row in rows}
    return [
        row.id
        for row in rows
        if state_by_life(row, lives[row.id], on) not in ("good", "empty")
        or lots.note(lives[row.id], lively=row.product_id in lively)
    ]


def note_of(row: Lot) -> str | None:
    """A note on a lot's last day, such as that it is assumed; None if its date was given."""
    return notes_of([row], {row.id: life_of(row)})[row.id]


def state_by_life(row: Lot | DatedLot, life: Life, on: date) -> State:
    """The state on a day of a lot with this life."""
    return lots.state(life, on=on, on_hand=row.on_hand, held=row.held)


def notes_of(rows: Sequence[Lot], lives: Mapping[int, Life]) -> dict[int, str | None]:
    """Lot id → as `note_of`, for lots with these lives."""
    products = {row.product_id: row.product for row in rows}
    lively = lacking_shelf_life(products.values())
    return {row.id: lots.note(lives[row.id], lively=row.product_id in lively) for row in rows}


@frozen
class OnShelf:
    """The stock of a product.

    Attributes:
        rows: its lots with something in them, in the order received.
        lives: lot id → its life. ends: lot id → its last good day, None if it never ends.
    """

    product: Product
    rows: tuple[Lot, ...]
    ends: Mapping[int, date | None]
    lives: Mapping[int, Life]

    def state(self, row: Lot, on: date) -> State:
        """A lot's state on a day."""
        return state_by_life(row, self.lives[row.id], on)


def on_shelf(product: Product) -> OnShelf:
    """The stock of a product, in two queries however many lots it has."""
    rows = tuple(shelf.stocked_lots_of(product.id))
    lives = lives_of(rows)
    ends = {lot: lots.expires_on(life) for lot, life in lives.items()}
    return OnShelf(product, rows, ends, lives)


def _life(row: Lot | DatedLot, product: Product, extended: date | None) -> Life:
    if extended and life_type_of(product) == "I":  # extended before it was known as type I
        extended = None
    return Life(
        received_on=row.received_on,
        labelled=row.expires_on,
        made_on=row.made_on,
        opened_on=row.opened_on,
        shelf_life=product.shelf_life_s,
        open_life=product.open_life_s,
        extended_to=extended,
    )
