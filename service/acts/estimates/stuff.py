"""The figures that an estimate takes from a product of the store."""

from __future__ import annotations

from ...core.frozen import frozen
from ...store.products import Product
from ..products import cure_sheets
from ..yard import finding


@frozen
class Figures:
    """A product's densities in mg/L and the films that it may be laid in, µm; None if not known."""

    product: Product | None = None
    density: float | None = None
    cured_density: float | None = None
    build_min: float | None = None
    build_max: float | None = None


def figures(code: str | None) -> Figures:
    """The figures of a product, of several sheets the strictest; no figures without a product.

    Raises:
        UnknownReference: there is no such product.
    """
    if code is None:
        return Figures()
    product = finding.product(code, "/product")
    sheets = [kept.sheet for kept in cure_sheets.current(product.id)]
    return Figures(
        product,
        product.density_mg_l,
        product.cured_density_mg_l,
        max((s.build_min for s in sheets if s.build_min), default=None),
        min((s.build_max for s in sheets if s.build_max), default=None),
    )
