"""When a lot's life ends, from its dates and its product's."""

from __future__ import annotations

from datetime import date

from ..core import lots
from ..core.lots import Life
from ..store import shelf, tables


def life_of(row: tables.Lot) -> Life:
    """What bounds a lot's life."""
    product = row.product
    return Life(
        received_on=row.received_on,
        labelled=row.expires_on,
        made_on=row.made_on,
        opened_on=row.opened_on,
        shelf_life=product.shelf_life_s,
        open_life=product.open_life_s,
        extended_to=shelf.extended_to(row.id),
    )


def last_day(row: tables.Lot) -> date | None:
    """The last day that a lot is good; None if it never ends."""
    return lots.expires_on(life_of(row))
