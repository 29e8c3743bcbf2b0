"""How lots are shown and listed."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Annotated

from ...core.amounts.quantities import LENGTH
from ...core.amounts.views import Code, Says, Stock, View
from ...core.frozen import frozen
from ...core.stock import lots
from ...core.stock.lots import Basis, Life, State
from ...core.words import Text
from ...store.stock import lots as shelf
from ...store.stock.lots import Lot
from ..products.stuff import kind_of
from ..yard import finding, moments
from . import reserve
from .lot_life import lives_of, notes_of, state_by_life, states_of

LOTS_A_LOOK = 500
"""Lots that are looked through at once for those in a state."""

BASIS_MEANS = (
    "What the last day rests on. stated: the date that was given. made_on: the day it was made "
    "and the product's shelf life. received_on: nobody gave a date, so the shelf life is counted "
    "from receipt, and it may end sooner. opened_on: the day it was opened, and the open life. "
    "extended: a lead's extension. none: no date, and no shelf life."
)


@frozen
class MoneyView(View):
    """An amount of money."""

    amount: float
    currency: str | None


@frozen
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


@frozen
class LotWithWarningsView(LotView):
    """A lot as of now, with what a person must know of it."""

    warnings: list[Text]


def show_lot(row: Lot, now: int, warnings: Sequence[Text] = ()) -> LotWithWarningsView:
    """A lot as of now."""
    (shown,) = show_lots([row], now)
    return LotWithWarningsView(**vars(shown), warnings=list(warnings))


def show_lots(rows: Sequence[Lot], now: int) -> list[LotView]:
    """Lots as of now, in as few queries as one."""
    today = moments.day_of(now)
    lives, reserved = lives_of(rows), reserve.of_lots(rows, today)
    notes = notes_of(rows, lives)
    return [_show(row, lives[row.id], notes[row.id], reserved[row.id], today) for row in rows]


def list_lots(
    after: int | None,
    limit: int,
    now: int,
    *,
    product: str | None = None,
    number: str | None = None,
    state: State | None = None,
    in_stock: bool = False,
) -> list[LotView]:
    """Lots by age, after the one with that id; of a product, a number or a state, or not empty."""
    of_product = None if product is None else finding.product(product).id

    def page(after: int | None, limit: int) -> list[Lot]:
        return shelf.page(after, limit, product_id=of_product, number=number, in_stock=in_stock)

    if state is None:
        return show_lots(page(after, limit), now)
    found: list[Lot] = []
    while len(found) < limit and (part := page(after, LOTS_A_LOOK)):
        states = states_of(part, moments.day_of(now))
        found += [row for row in part if states[row.id] == state]
        after = part[-1].id
    return show_lots(found[:limit], now)


def _show(row: Lot, life: Life, note: str | None, reserved: int, today: date) -> LotView:
    kind, state = kind_of(row.product), state_by_life(row, life, today)
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
