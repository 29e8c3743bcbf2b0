"""A lot on a day: its life, its state, and how it is shown."""

from __future__ import annotations

from datetime import date
from typing import Any

from ..core import lots
from ..core.lots import Life, State
from ..store import shelf, tables
from . import moments
from .add_product import kind_of


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
        extended_to=shelf.extensions([row.id]).get(row.id),
    )


def last_day(row: tables.Lot) -> date | None:
    """The last day that a lot is good; None if it never ends."""
    return lots.expires_on(life_of(row))


def state_of(row: tables.Lot, on: date) -> State:
    """How a lot stands on a day."""
    return lots.state(life_of(row), on=on, on_hand=row.on_hand, held=row.held)


def show_lot(row: tables.Lot, now: int) -> dict[str, Any]:
    """A lot as of now; amounts with the kind that its product is counted in."""
    kind = kind_of(row.product)
    life = life_of(row)
    return {
        "id": row.id,
        "product": row.product.code,
        "number": row.number,
        "container": row.container,
        "on_hand": (row.on_hand, kind),
        "state": state_of(row, moments.day_of(now)),
        "received_on": row.received_on,
        "made_on": row.made_on,
        "expires_on": lots.expires_on(life),
        "opened_on": row.opened_on,
        "bay": row.bay.code if row.bay else None,
        "held": row.held,
        "hold_reason": row.hold_reason,
        "parent": row.parent_id,
        "length": row.length_um,
        "width": row.width_um,
        "cost": None
        if row.cost_minor is None
        else {"amount": row.cost_minor / 100, "currency": row.currency},
        "supplier": row.supplier,
        "version": row.version,
    }


def name_of(row: tables.Lot) -> str:
    """A lot as a person calls it: number, container, product."""
    return f"{row.number}/{row.container} ({row.product.code})"
