"""Stacks of plies as a request names them: by product, by dry weight, or by cured thickness."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Annotated, Any

from ...core.amounts.quantities import SIZE
from ...core.amounts.views import View
from ...core.errors import CureSheetMissing, Invalid
from ...core.estimates import laminate, ply_count
from ...core.estimates.laminate import Fabric, Ply, Surface
from ...core.estimates.ply_count import MOST_PLIES
from ...core.frozen import frozen
from ...core.words import Text
from ...store.products import Product
from ..cure import binders
from ..yard import finding

Row = Mapping[str, Any]
"""Plies alike: `product`, `areal_weight` (mg/m²) or `thickness` (µm); if wanted `fibre_fraction`,
`fabric` and `count`."""


@frozen
class PlyView(View):
    """One ply of a stack, as it cures."""

    ply: int
    name: str
    thickness: Annotated[float, SIZE]
    fibre_fraction: float | None


@frozen
class Named:
    """One ply of a stack, and its name.

    Attributes:
        name: the product's code, or its fabric, weight or thickness in words.
        thickness: cured, µm.
        ply: its fibre; None where only a cured thickness was given.
        product: of the store, where it is one.
    """

    name: str
    thickness: float
    ply: Ply | None
    product: Product | None = None

    @property
    def chemistry(self) -> str | None:
        """The chemistry of its fibre, where the product says."""
        return self.product.chemistry if self.product else None


def read(rows: Sequence[Row], density: float, surface: Surface = "simple") -> list[Named]:
    """Every ply of a stack, in the order laid; `density` is the cured resin's, kg/L.

    Raises:
        Invalid: too many plies, or a row that is not exactly one of the three.
        UnknownReference: a product that the store does not have.
        CureSheetMissing: no weight, or neither a fibre fraction nor a fabric.
    """
    if not 0 < sum(row.get("count", 1) for row in rows) <= MOST_PLIES:
        raise Invalid(
            f"A stack has 1 to {MOST_PLIES} plies.", advice="Check the counts.", pointer="/stack"
        )
    found: list[Named] = []
    for place, row in enumerate(rows):
        found += [_named(row, density, surface, f"/stack/{place}")] * row.get("count", 1)
    return found


def show(number: int, each: Named) -> PlyView:
    """A ply by its number in the stack."""
    fraction = None if each.ply is None else each.ply.fibre_fraction
    return PlyView(number, each.name, each.thickness, fraction)


def cured_density(code: str | None) -> float:
    """Cured density in kg/L of a resin of the store, or the usual one.

    Raises: UnknownReference: there is no such product.
    """
    row = None if code is None else finding.product(code, "/resin")
    if row is None or row.cured_density_mg_l is None:
        return laminate.RESIN_DENSITY
    return row.cured_density_mg_l / 1e6


def binder_words(named: Sequence[Named], resin: str | None) -> list[Text]:
    """A caution on each mat of a stack whose binder epoxy does not dissolve, or may not."""
    if resin is None:
        return []
    wets = finding.product(resin, "/resin")
    mats = {each.product.code: each.product for each in named if each.product is not None}
    found = binders.words(mats.values(), wets)
    unsaid = [each for each in named if each.ply is not None and each.ply.fabric == "mat"
              and (each.product is None or each.product.binder is None)]  # fmt: skip
    if unsaid and wets.chemistry == "epoxy":
        found.append(
            "Most chopped mat is held by a binder that epoxy does not dissolve: say the product's "
            "binder, or use stitched mat or cloth."
        )
    return found


def _named(row: Row, density: float, surface: Surface, pointer: str) -> Named:
    ways = [way for way in ("product", "areal_weight", "thickness") if row.get(way) is not None]
    if len(ways) != 1:
        raise Invalid(
            "A ply needs exactly one of product, dry weight and cured thickness.",
            advice="Give product, areal_weight or thickness.",
            pointer=pointer,
        )
    try:
        if ways == ["thickness"]:
            return _cured(row["thickness"])
        return _fibrous(row, density, surface, pointer)
    except (Invalid, CureSheetMissing) as refusal:
        refusal.pointer = refusal.pointer or pointer
        raise


def _cured(thickness: float) -> Named:
    ply_count.check_ply(thickness)
    return Named(f"{thickness / 1000:g} mm cured", thickness, None)


def _fibrous(row: Row, density: float, surface: Surface, pointer: str) -> Named:
    fabric: Fabric | None = row.get("fabric")
    product = row.get("product")
    bought = None if product is None else finding.product(product, f"{pointer}/product")
    weight = _weight(bought) if bought else row["areal_weight"]
    fraction: float | None = row.get("fibre_fraction")
    if fraction is None and bought is not None and bought.fibre_fraction_ppm is not None:
        fraction = bought.fibre_fraction_ppm / 1e6
    if fraction is None:
        fraction = laminate.usual_fraction(fabric, surface)
    ply = Ply(weight, fraction, fabric)
    name = bought.code if bought else f"{fabric or 'fabric'} {weight / 1000:.0f} g/m²"
    cured = laminate.thickness(ply.areal_weight, ply.fibre_fraction, density)
    return Named(name, cured, ply, bought)


def _weight(product: Product) -> float:
    if not product.areal_weight_mg_m2:
        raise CureSheetMissing(
            f"{product.code} has no areal weight.",
            advice="Set the product's areal_weight, or give the ply's own.",
        )
    return product.areal_weight_mg_m2
