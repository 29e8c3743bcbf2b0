"""A lot on a day: its life, its state, and how it is shown."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Annotated

from ...core.amounts.quantities import LENGTH
from ...core.amounts.views import Code, Says, Stock, View
from ...core.stock import lots
from ...core.stock.lots import Basis, Life, State
from ...store.stock.lots import Lot
from ..products.nature import lacking_shelf_life
from ..products.product import kind_of
from ..yard import moments
from . import reserve
from .lot_end import last_day as last_day
from .lot_end import last_days as last_days
from .lot_end import life_of as life_of
from .lot_end import lives_of as lives_of

BASIS_MEANS = (
    "What the last day rests on. stated: the date that was given. made_on: the day it was made "
    "and the product's shelf life. received_on: nobody gave a date, so the shelf life is counted "
    "from receipt, and it may end sooner. opened_on: the day it was opened, and the open life. "
    "extended: a lead's extension. none: no date, and no shelf life."
)


@dataclass(frozen=True)
class MoneyView(View):
    """An amount of money."""

    amount: float
    currency: str | None


@dataclass(frozen=True)
class LotView(View):
    """A lot as of now."""

    id: int
    product: Code
    number: Code
    container: str
    on_hand: Stock
    reserved: Stock
    free: Stock
    state: State
    received_on: date
    made_on: date | None
    expires_on: Annotated[date | None, Says("The last day it is good; null: it never ends.")]
    expires_basis: Annotated[Basis, Says(BASIS_MEANS)]
    expires_note: Annotated[
        str | None, Says("What a person must know of it, such as that it is assumed.")
    ]
    opened_on: date | None
    bay: Code | None
    held: bool
    hold_reason: str | None
    parent: int | None
    length: Annotated[int, LENGTH] | None
    width: Annotated[int, LENGTH] | None
    cost: MoneyView | None
    supplier: str | None
    version: int


@dataclass(frozen=True)
class LotWithWarningsView(LotView):
    """A lot as of now, with what a person must know of it."""

    warnings: list[str]


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


def show_lot(row: Lot, now: int, warnings: Sequence[str] = ()) -> LotWithWarningsView:
    """A lot as of now; amounts with the kind that its product is counted in."""
    (shown,) = show_lots([row], now)
    return LotWithWarningsView(**vars(shown), warnings=list(warnings))


def show_lots(rows: Sequence[Lot], now: int) -> list[LotView]:
    """As `show_lot`, for many lots: what they share is looked up once."""
    today = moments.day_of(now)
    lives, reserved = lives_of(rows), reserve.of_lots(rows, today)
    notes = _notes(rows, lives)
    return [_show(row, lives[row.id], notes[row.id], reserved[row.id], today) for row in rows]


def _show(row: Lot, life: Life, note: str | None, reserved: int, today: date) -> LotView:
    kind, state = kind_of(row.product), _state(row, life, today)
    free = 0 if state in ("held", "expired") else row.on_hand - reserved
    return LotView(
        id=row.id,
        product=row.product.code,
        number=row.number,
        container=row.container,
        on_hand=(row.on_hand, kind),
        reserved=(reserved, kind),
        free=(free, kind),
        state=state,
        received_on=row.received_on,
        made_on=row.made_on,
        expires_on=lots.expires_on(life),
        expires_basis=lots.expires_basis(life),
        expires_note=note,
        opened_on=row.opened_on,
        bay=row.bay.code if row.bay else None,
        held=row.held,
        hold_reason=row.hold_reason,
        parent=row.parent_id,
        length=row.length_um,
        width=row.width_um,
        cost=None if row.cost_minor is None else MoneyView(row.cost_minor / 100, row.currency),
        supplier=row.supplier,
        version=row.version,
    )


def name_of(row: Lot) -> str:
    """A lot as a person calls it: number, container, product."""
    return f"{row.number}/{row.container} ({row.product.code})"
