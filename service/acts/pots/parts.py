"""The parts of a pot: so much of each product, by scale and by measure, from which lot."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated

from ...core.amounts.measuring import ml_step, nearest
from ...core.amounts.quantities import COUNT, DOSE_MASS, DOSE_VOLUME, LENGTH, Kind
from ...core.amounts.views import Code, View
from ...core.frozen import frozen
from ...store.stock.lines import Movement
from ...store.stock.lots import Lot
from ..products.stuff import kind_of
from ..stock.choose import Line
from .dose import MeasuredView


@frozen
class PartView(View):
    """A part of a pot, from one lot, by scale and by measure."""

    product: Code
    lot: int
    number: Code
    container: str
    quantity: Annotated[tuple[int, Kind], (DOSE_MASS, LENGTH, COUNT)]
    volume: Annotated[int | None, DOSE_VOLUME]


def show_parts(dosed: MeasuredView, lines: Sequence[Movement]) -> list[PartView]:
    """The parts of a pot in the order that they went in, with those that were put back since.

    The volume of a part is by the density that it was drawn with.

    Args:
        dosed: the catalyst as the hand was told it. lines: the ledger's, of the pot.
    """
    drawn = [line for line in lines if line.kind == "draw"]
    of_one = [line for line in drawn if line.lot.product.code == dosed.product]
    return [
        _shown(
            line.lot,
            -line.amount,
            dosed.volume if of_one == [line] else _volume(-line.amount, line.density_mg_l),
        )
        for line in drawn
    ]


def planned_parts(dosed: MeasuredView, lines: Sequence[Line]) -> list[PartView]:
    """As `show_parts`, of what is to be drawn."""
    of_one = [line for line in lines if line.lot.product.code == dosed.product]
    return [
        _shown(
            line.lot,
            line.amount,
            dosed.volume
            if of_one == [line]
            else _volume(line.amount, line.lot.product.density_mg_l),
        )
        for line in lines
    ]


def _shown(lot: Lot, amount: int, volume: int | None) -> PartView:
    product = lot.product
    weighed = product.measure == "mass"
    return PartView(
        product=product.code,
        lot=lot.id,
        number=lot.number,
        container=lot.container,
        quantity=(amount, DOSE_MASS if weighed else kind_of(product)),
        volume=volume if weighed else None,
    )


def _volume(amount: int, density_mg_l: int | None) -> int | None:
    if not density_mg_l:
        return None
    exact = amount * 1e6 / density_mg_l
    return nearest(exact, ml_step(exact))
