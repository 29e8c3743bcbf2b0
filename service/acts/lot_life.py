"""A lot on a day: its life, its state, and how it is shown."""

from __future__ import annotations

from datetime import date
from typing import Any

from ..core import lots
from ..core.lots import State
from ..store import tables
from . import moments, reserve
from .add_product import kind_of
from .lot_end import last_day as last_day
from .lot_end import life_of as life_of


def state_of(row: tables.Lot, on: date) -> State:
    """How a lot stands on a day."""
    return lots.state(life_of(row), on=on, on_hand=row.on_hand, held=row.held)


def show_lot(row: tables.Lot, now: int) -> dict[str, Any]:
    """A lot as of now; amounts with the kind that its product is counted in."""
    kind = kind_of(row.product)
    today = moments.day_of(now)
    reserved = reserve.of_lot(row, today)
    return {
        "id": row.id,
        "product": row.product.code,
        "number": row.number,
        "container": row.container,
        "on_hand": (row.on_hand, kind),
        "reserved": (reserved, kind),
        "free": (row.on_hand - reserved, kind),
        "state": state_of(row, today),
        "received_on": row.received_on,
        "made_on": row.made_on,
        "expires_on": last_day(row),
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
