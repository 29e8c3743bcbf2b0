"""The nature of a product by its chemistry, its life type, and whether it needs a shelf life."""

from __future__ import annotations

from collections.abc import Iterable

from ...core.products import hazards
from ...core.products.hazards import ENDS_FOR_GOOD, Nature
from ...core.products.materials import LIVELY_ROLES
from ...store import cure_sheets
from ...store.products import Product

LIFE_TYPES = ("I", "II")
"""I: never used after its date. II: its life may be extended once, after a cup test."""


def natures_of(product: Product) -> frozenset[Nature]:
    """Which of peroxide, isocyanate, promoter and acetone a product is."""
    return hazards.natures(
        product.role,
        product.chemistry,
        product.effects.split(),
        stated_peroxide=bool(product.active_oxygen_ppm or product.peroxide_type),
    )


def life_type_of(product: Product) -> str:
    """'I' for a product whose life ends for good, whatever was entered; else as entered."""
    return "I" if natures_of(product) & ENDS_FOR_GOOD else product.life_type


def lacks_shelf_life(product: Product, *, cures: bool) -> bool:
    """Whether a product goes off on the shelf and has no shelf life entered.

    Args:
        cures: whether it has a cure sheet; a filler without one does not go off.
    """
    lively = cures or product.role in LIVELY_ROLES or natures_of(product) - {"acetone"}
    return product.shelf_life_s is None and bool(lively)


def lacking_shelf_life(products: Iterable[Product]) -> set[int]:
    """Ids of those products for which `lacks_shelf_life` is true.

    It takes one query, and only if there are fillers, which may cure or not.
    """
    asked = [product for product in products if product.shelf_life_s is None]
    fillers = [product.id for product in asked if product.role == "filler"]
    curing = cure_sheets.having_sheets(fillers) if fillers else set()
    return {row.id for row in asked if lacks_shelf_life(row, cures=row.id in curing)}
