"""Promoter: stirred into the resin first, on its own, and recorded with the pot that it went into.

Cobalt and peroxide in one step explode (TM 38-410). A resin that comes promoted takes no more: it
would gel in the hand.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from ...core.amounts.quantities import Given
from ...core.errors import Invalid
from ...core.products.cure_sheet import CureSheet
from ...store.products import Product
from ..products.nature import natures_of
from ..products.product import stuff_of
from ..yard import conversions as units
from ..yard import finding

POINTER = "/promoter"


@dataclass(frozen=True)
class Promoter:
    """What is stirred in before the catalyst; `mass` in mg."""

    product: Product
    quantity: Given
    mass: int


def read(
    item: dict[str, Any] | None, resin: Product, sheet: CureSheet
) -> Promoter | None:  # fmt: skip
    """The promoter of a pot as it was asked for, or None.

    Raises:
        Invalid: it promotes nothing, the resin comes promoted, or is cured by no peroxide.
        UnknownReference: there is no such product.
    """
    if item is None:
        return None
    product = finding.product(item["product"], f"{POINTER}/product")
    if "promoter" not in natures_of(product):
        raise Invalid(
            f"{product.code} is not a promoter.",
            advice="Name a product of the role promoter, or one whose effects say 'promotes'.",
            pointer=f"{POINTER}/product",
        )
    if sheet.mix.kind != "catalysed":
        raise Invalid(
            f"{resin.code} takes no promoter: no peroxide cures it.",
            advice="Leave the promoter out.",
            pointer=POINTER,
        )
    if resin.promoted:
        raise Invalid(
            f"{resin.code} comes promoted: more promoter would make it gel in the hand.",
            advice="Leave the promoter out; for a faster pot dose more catalyst, or warm the shop.",
            pointer=POINTER,
        )
    given: Given = item["quantity"]
    mass = units.in_ledger(given, stuff_of(product), f"{POINTER}/quantity")
    return Promoter(product, given, mass)


def show(promoter: Promoter | None) -> dict[str, Any] | None:
    """What of it stands on the mix card."""
    if promoter is None:
        return None
    return {"product": promoter.product.code, "mass": promoter.mass}


def words(promoter: Promoter | None, resin: Product, sheet: CureSheet) -> list[str]:
    """What to know of a pot's promoter, or of its want of one."""
    if promoter is None:
        if sheet.mix.kind == "catalysed" and resin.promoted is False:
            return [
                f"{resin.code} comes without promoter: it cures only with one stirred in first."
            ]
        return []
    if resin.promoted is None:
        return [
            f"The catalogue does not say whether {resin.code} comes promoted: read its data sheet "
            "before promoter goes in."
        ]
    return []
