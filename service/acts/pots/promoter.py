"""The promoter of a pot: stirred into the resin first, on its own, and recorded with the pot.

Cobalt and peroxide in one step explode (TM 38-410). A resin that comes promoted takes no more: it
would gel in the hand.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any

from ...core.amounts.quantities import DOSE_MASS, Given
from ...core.amounts.views import Code, View
from ...core.errors import Invalid
from ...core.frozen import frozen
from ...core.products.cure_sheet import CureSheet
from ...core.products.materials import AS_RESIN
from ...store.products import Product
from ..products.nature import natures_of
from ..products.stuff import stuff_of
from ..yard import conversions, finding

POINTER = "/promoter"


@frozen
class PromoterView(View):
    """The promoter, stirred into the resin first, on its own, before the catalyst."""

    product: Code
    mass: Annotated[int, DOSE_MASS]


@frozen
class Promoter:
    """A promoter to stir in before the catalyst; `mass` in mg."""

    product: Product
    quantity: Given
    mass: int


def read(item: Mapping[str, Any] | None, resin: Product, sheet: CureSheet) -> Promoter | None:
    """The promoter of a request, a `product` and a `quantity`, or None.

    Raises:
        Invalid: it promotes nothing, or waxes, thins or pigments besides; the resin comes promoted,
            or is cured by no peroxide.
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
    if AS_RESIN & set(product.effects.split()):
        raise Invalid(
            f"{product.code} waxes, thins or pigments the mix: it does not go in as a promoter.",
            advice="Take a promoter without wax, styrene or colour. Those are products of the role "
            "filler and go in among the fillers, by the percent of the resin's cure sheet.",
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
    mass = conversions.in_ledger(given, stuff_of(product), f"{POINTER}/quantity")
    return Promoter(product, given, mass)


def show(promoter: Promoter | None) -> PromoterView | None:
    """The promoter on the mix card."""
    return None if promoter is None else PromoterView(promoter.product.code, promoter.mass)


def words(promoter: Promoter | None, resin: Product, sheet: CureSheet) -> list[str]:
    """A warning on a pot's promoter, or on a pot that needs one."""
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
