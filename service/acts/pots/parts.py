"""The parts of a pot: so much of each product, by scale and by measure, from which lot."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated

from ...core.amounts.measuring import ml_step, nearest
from ...core.amounts.quantities import COUNT, DOSE_MASS, DOSE_VOLUME, LENGTH, Kind
from ...core.amounts.views import Code, View
from ...store.stock.lines import Movement
from ..products.product import kind_of
from .dose import MeasuredView


@dataclass(frozen=True)
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
    return [_part(line, dosed.volume if of_one == [line] else _volume(line)) for line in drawn]


def _part(line: Movement, volume: int | None) -> PartView:
    product = line.lot.product
    weighed = product.measure == "mass"
    return PartView(
        product=product.code,
        lot=line.lot_id,
        number=line.lot.number,
        container=line.lot.container,
        quantity=(-line.amount, DOSE_MASS if weighed else kind_of(product)),
        volume=volume if weighed else None,
    )


def _volume(line: Movement) -> int | None:
    if not line.density_mg_l:
        return None
    exact = -line.amount * 1e6 / line.density_mg_l
    return nearest(exact, ml_step(exact))
