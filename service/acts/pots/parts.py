"""What is in a pot: so much of each, by scale and by measure, and from which lot."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from ...core.amounts.measuring import ml_step, nearest
from ...core.amounts.quantities import DOSE_MASS
from ...store.stock.lines import Movement
from ..products.product import kind_of


def parts(told: dict[str, Any], lines: Sequence[Movement]) -> list[dict[str, Any]]:
    """What was drawn for a pot, in the order that it went in; what was put back since, too.

    Args:
        told: the dose as the hand was told it. lines: the ledger's, of the pot.

    Returns:
        Of each: `product`, `lot`, `number`, `container`; its `quantity`, grams where it is
        weighed; its `volume` in µL by the density that it was drawn with, or None.
    """
    dosed = told["catalyst"]
    drawn = [line for line in lines if line.kind == "draw"]
    of_one = [line for line in drawn if line.lot.product.code == dosed["product"]]
    return [_part(line, dosed["volume"] if of_one == [line] else _volume(line)) for line in drawn]


def _part(line: Movement, volume: float | None) -> dict[str, Any]:
    product = line.lot.product
    weighed = product.measure == "mass"
    return {
        "product": product.code,
        "lot": line.lot_id,
        "number": line.lot.number,
        "container": line.lot.container,
        "quantity": (-line.amount, DOSE_MASS if weighed else kind_of(product)),
        "volume": volume if weighed else None,
    }


def _volume(line: Movement) -> int | None:
    if not line.density_mg_l:
        return None
    exact = -line.amount * 1e6 / line.density_mg_l
    return nearest(exact, ml_step(exact))
