"""What a label says of a lot or of a pot."""

from __future__ import annotations

from typing import Any

from ...core.products import cautions
from ...store.cure.pots import Batch
from ...store.stock.lots import Lot
from ..products.nature import natures_of
from ..stock import lot as lot_life
from . import card as pot_card


def lot_label(row: Lot) -> dict[str, Any]:
    """What stands on a container; what may change before it is empty is left out.

    Returns:
        `product` and `name`, `number`, `container`, `last_day` and `opened_on` (dates, or
        None), `note` of the last day (or None), `open_life` (s, or None), and `caution`, empty
        where nothing can explode.
    """
    product = row.product
    return {
        "id": row.id,
        "product": product.code,
        "name": product.name,
        "number": row.number,
        "container": row.container,
        "last_day": lot_life.last_day(row),
        "note": lot_life.note_of(row),
        "opened_on": row.opened_on,
        "open_life": product.open_life_s,
        "caution": cautions.for_label(natures_of(product)),
    }


def pot_label(row: Batch) -> dict[str, Any]:
    """What stands on a pot: its card, see `pot_card.show_card`, and the pot's own caution."""
    return {**pot_card.show_card(row), "caution": cautions.LABEL_POT}
