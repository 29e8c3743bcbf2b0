"""A lot on a day: its life, its state, and how it is shown."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from ...core.stock import lots
from ...core.stock.lots import Life, State
from ...store.stock.lots import Lot
from ..products.nature import lacking_shelf_life
from ..products.product import kind_of
from ..yard import moments
from . import reserve
from .lot_end import last_day as last_day
from .lot_end import last_days as last_days
from .lot_end import life_of as life_of
from .lot_end import lives_of as lives_of


def state_of(row: Lot, on: date) -> State:
    """How a lot stands on a day."""
    return states_of([row], on)[row.id]


def states_of(rows: Sequence[Lot], on: date) -> dict[int, State]:
    """Lot id → how it stands on a day."""
    lives = lives_of(rows)
    return {row.id: _state(row, lives[row.id], on) for row in rows}


def standing(rows: Sequence[Lot], on: date) -> tuple[dict[int, State], dict[int, str | None]]:
    """By lot's id: how it stands on a day, and what a person must know of its last day."""
    lives = lives_of(rows)
    notes = _notes(rows, lives)
    return {row.id: _state(row, lives[row.id], on) for row in rows}, notes


def _state(row: Lot, life: Life, on: date) -> State:
    return lots.state(life, on=on, on_hand=row.on_hand, held=row.held)


def _notes(rows: Sequence[Lot], lives: Mapping[int, Life]) -> dict[int, str | None]:
    """Lot id → what to know of its last day; None where its date was given."""
    products = {row.product_id: row.product for row in rows}
    lively = lacking_shelf_life(products.values())
    return {row.id: lots.note(lives[row.id], lively=row.product_id in lively) for row in rows}


def note_of(row: Lot) -> str | None:
    """What a person must know of a lot's last day; None where its date was given."""
    return _notes([row], lives_of([row]))[row.id]


def show_lot(row: Lot, now: int) -> dict[str, Any]:
    """A lot as of now; amounts with the kind that its product is counted in."""
    return show_lots([row], now)[0]


def show_lots(rows: Sequence[Lot], now: int) -> list[dict[str, Any]]:
    """As `show_lot`, for many lots: what they share is looked up once."""
    today = moments.day_of(now)
    lives, reserved = lives_of(rows), reserve.of_lots(rows, today)
    notes = _notes(rows, lives)
    return [_show(row, lives[row.id], notes[row.id], reserved[row.id], today) for row in rows]


def _show(row: Lot, life: Life, note: str | None, reserved: int, today: date) -> dict[str, Any]:
    kind, state = kind_of(row.product), _state(row, life, today)
    free = 0 if state in ("held", "expired") else row.on_hand - reserved
    return {
        "id": row.id,
        "product": row.product.code,
        "number": row.number,
        "container": row.container,
        "on_hand": (row.on_hand, kind),
        "reserved": (reserved, kind),
        "free": (free, kind),
        "state": state,
        "received_on": row.received_on,
        "made_on": row.made_on,
        "expires_on": lots.expires_on(life),
        "expires_basis": lots.expires_basis(life),
        "expires_note": note,
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


def name_of(row: Lot) -> str:
    """A lot as a person calls it: number, container, product."""
    return f"{row.number}/{row.container} ({row.product.code})"
