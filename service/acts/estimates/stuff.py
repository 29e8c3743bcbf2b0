"""What an estimate takes from a product of the store: its density, its thickest coat."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from ...store.products import Product
from ..products import cure_sheets
from ..yard import finding


@dataclass(frozen=True)
class Figures:
    """Figures of a product: mg/L, mg/L when cured, µm; None where nothing is known."""

    density: float | None = None
    cured_density: float | None = None
    build_min: float | None = None
    build_max: float | None = None


def figures(code: str | None) -> Figures:
    """The figures of a product; none of them without one. Of several sheets the strictest.

    Raises:
        UnknownReference: there is no such product.
    """
    if code is None:
        return Figures()
    product: Product = finding.product(code, "/product")
    sheets = [kept.sheet for kept in cure_sheets.current(product.id)]
    return Figures(
        product.density_mg_l,
        product.cured_density_mg_l,
        max((s.build_min for s in sheets if s.build_min), default=None),
        min((s.build_max for s in sheets if s.build_max), default=None),
    )


def number(given: Decimal | None) -> float | None:
    """What was given, as the sums take it."""
    return None if given is None else float(given)
