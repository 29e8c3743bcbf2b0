"""The facts on a label of a lot, and on one of a pot."""

from __future__ import annotations

from datetime import date

from ...core.amounts.views import View
from ...core.frozen import frozen
from ...core.products import cautions
from ...store.cure.pots import Batch
from ...store.stock.lots import Lot
from ..products.nature import natures_of
from ..stock.lot_life import last_day, note_of
from ..yard import moments
from .card import CardView, show_card


@frozen
class LotLabelView(View):
    """A container, without what changes from day to day.

    Attributes:
        stopped: why nothing may be drawn from it: `held`, `expired`, or both.
        last_day: on which it is good, or None; `note`: of that day. open_life: s, or None.
        caution: empty where nothing can explode.
    """

    id: int
    product: str
    name: str
    number: str
    container: str
    last_day: date | None
    note: str | None
    opened_on: date | None
    open_life: int | None
    caution: str
    stopped: tuple[str, ...]


@frozen
class PotLabelView(CardView):
    """A pot's card, with the caution for the pot itself."""

    caution: str


def lot_label(row: Lot, now: int) -> LotLabelView:
    """The facts on the label of a container as of `now`, epoch s."""
    product, last = row.product, last_day(row)
    expired = last is not None and last < moments.day_of(now)
    return LotLabelView(
        id=row.id,
        product=product.code,
        name=product.name,
        number=row.number,
        container=row.container,
        last_day=last,
        note=note_of(row),
        opened_on=row.opened_on,
        open_life=product.open_life_s,
        caution=cautions.for_label(natures_of(product)),
        stopped=(*(["held"] if row.held else []), *(["expired"] if expired else [])),
    )


def pot_label(row: Batch) -> PotLabelView:
    """The facts on the label of a pot."""
    return PotLabelView(**vars(show_card(row)), caution=cautions.LABEL_POT)
