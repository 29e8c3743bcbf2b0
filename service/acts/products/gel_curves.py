"""Show how a product gels: each cure sheet's law along temperature, with what it was made from."""

from __future__ import annotations

from typing import Any

from ...core.products import gel_curve
from ...core.products.cure_sheet import CureSheet
from ...core.products.gel_curve import Curve
from ...store.products import Product
from . import cure_sheets
from .cure_sheets import Kept


def gel_curves(product: Product) -> list[dict[str, Any] | None]:
    """For each of a product's sheets of now, in order; None for one without gel times. K and s."""
    return [
        _curves(kept) if kept.sheet.gel_points else None for kept in cure_sheets.current(product.id)
    ]


def _curves(kept: Kept) -> dict[str, Any]:
    sheet, law = kept.sheet, cure_sheets.law_of(kept.sheet)
    drawn = gel_curve.curves(sheet, law)
    return {
        "reach": gel_curve.reach(law),
        "curves": [_show(curve) for curve in drawn],
        "table": [_show(curve) for curve in gel_curve.table(sheet, law)],
        "assumed_limits": sheet.percent_limits if _limits_assumed(sheet) else None,
        "banded": drawn.index(gel_curve.middle(law, drawn)),
        "points": [
            {
                "temperature": point.temperature,
                "percent": point.percent,
                "shortest": point.shortest,
                "longest": point.longest,
            }
            for point in sheet.gel_points
        ],
    }


def _limits_assumed(sheet: CureSheet) -> bool:
    return sheet.mix.kind == "catalysed" and sheet.limits_assumed


def _show(curve: Curve) -> dict[str, Any]:
    return {
        "percent": curve.percent,
        "points": [
            {"temperature": T, "time": span.time, "earliest": span.earliest, "latest": span.latest}
            for T, span in curve.points
        ],
    }
