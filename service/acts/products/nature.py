"""What a product of the catalogue is by its chemistry, and what follows for its life."""

from __future__ import annotations

from collections.abc import Iterable

from ...core.products import hazards
from ...core.products.hazards import ENDS_FOR_GOOD, Nature
from ...core.products.materials import LIVELY_ROLES
from ...store import cure_sheets as sheets
from ...store.products import Product


def natures_of(product: Product) -> frozenset[Nature]:
    """What a product is: peroxide, isocyanate, promoter, acetone, or nothing of these."""
    return hazards.natures(
        product.role,
        product.chemistry,
        product.effects.split(),
        stated_peroxide=bool(product.active_oxygen_ppm or product.peroxide_type),
    )


def life_type_of(product: Product) -> str:
    """'I' for what ends for good, whatever the catalogue was told; else as it was told."""
    return "I" if natures_of(product) & ENDS_FOR_GOOD else product.life_type


def lacks_shelf_life(product: Product, *, cures: bool) -> bool:
    """Whether a product goes off on the shelf, and nobody entered after how long.

    Args:
        cures: whether it has a cure sheet; a filler with none lasts.
    """
    lively = cures or product.role in LIVELY_ROLES or natures_of(product) - {"acetone"}
    return product.shelf_life_s is None and bool(lively)


def lacking_shelf_life(products: Iterable[Product]) -> set[int]:
    """Ids of the products that `lacks_shelf_life` holds of.

    One query, and that only where a filler may be one that cures.
    """
    asked = [product for product in products if product.shelf_life_s is None]
    fillers = [product.id for product in asked if product.role == "filler"]
    curing = sheets.having_sheets(fillers) if fillers else set()
    return {row.id for row in asked if lacks_shelf_life(row, cures=row.id in curing)}
