"""How a product's stock is counted and shown, and what converts one measure of it into another."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from ...core.amounts.quantities import KIND_OF_MEASURE, Kind, Measure
from ...core.products import materials
from ...core.products.materials import Stuff
from ...store.products import Product

CONVERTING = ("density_mg_l", "areal_weight_mg_m2", "width_um")
"""The columns that convert one measure of a product into another, in the order of `Stuff`."""


def measure_of(row: Product) -> Measure:
    """How the product's stock is counted."""
    return materials.MEASURE_OF_ROLE[row.role]


def kind_of(row: Product) -> Kind:
    """The kind of quantity that its stock is shown in."""
    return KIND_OF_MEASURE[measure_of(row)]


def stuff_of(row: Product) -> Stuff:
    """The figures that convert one measure of the product into another."""
    return stuff_by(row.code, row.role, row.chemistry, {c: getattr(row, c) for c in CONVERTING})


def stuff_by(code: str, role: str, chemistry: str | None, figures: Mapping[str, Any]) -> Stuff:
    """As `stuff_of`, of a product that is not kept yet.

    Args:
        figures: by column, at least those of `CONVERTING` that are known.
    """
    density, areal_weight, width = map(figures.get, CONVERTING)
    return Stuff(
        code, materials.MEASURE_OF_ROLE[role], density, areal_weight, width,
        poured=materials.is_poured(role, chemistry, density),
    )  # fmt: skip
