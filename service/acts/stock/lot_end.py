"""When a lot's life ends, from its dates and its product's."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from ...core.stock import lots
from ...core.stock.lots import Life
from ...store.stock import lots as shelf
from ...store.stock.lots import Lot
from ..products.nature import life_type_of


def lives_of(rows: Sequence[Lot]) -> dict[int, Life]:
    """Lot id → what bounds its life, for many lots in as few queries as for one."""
    extended = shelf.extensions(row.id for row in rows)
    return {row.id: _life(row, extended.get(row.id)) for row in rows}


def _life(row: Lot, extended: date | None) -> Life:
    product = row.product
    if extended and life_type_of(product) == "I":  # before it was known for what it is
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


def life_of(row: Lot) -> Life:
    """What bounds a lot's life."""
    return _life(row, shelf.extended_to(row.id))


def last_days(rows: Sequence[Lot]) -> dict[int, date | None]:
    """Lot id → the last day that it is good; None if it never ends."""
    return {lot: lots.expires_on(life) for lot, life in lives_of(rows).items()}


def last_day(row: Lot) -> date | None:
    """The last day that a lot is good; None if it never ends."""
    return lots.expires_on(life_of(row))
