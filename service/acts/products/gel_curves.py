"""How a product gels: the law of each of its cure sheets along temperature."""

from __future__ import annotations

from collections.abc import Sequence

from ...core.frozen import frozen
from ...core.products import gel_curve
from ...core.products.cure_sheet import CureSheet, GelPoint
from ...core.products.gel_curve import Curve
from ...store.products import Product
from . import cure_sheets


@frozen
class GelCurves:
    """The gel law of one sheet, and the gel times that it was fitted to.

    Attributes:
        reach: from and to which temperature the law is trusted, K.
        curves: to be drawn; `banded` is the one to draw with its band.
        table: the same at whole fives of °C.
        points: the sheet's own gel times.
        assumed_limits: percents of catalyst, where the sheet has no limits of its own.
    """

    reach: tuple[float, float]
    curves: Sequence[Curve]
    banded: Curve
    table: Sequence[Curve]
    points: Sequence[GelPoint]
    assumed_limits: tuple[float, float] | None


def gel_curves(product: Product) -> list[GelCurves | None]:
    """The curves of each of a product's current sheets; None for one without gel times."""
    sheets = [kept.sheet for kept in cure_sheets.current(product.id)]
    return [curves_of(sheet) if sheet.gel_points else None for sheet in sheets]


def curves_of(sheet: CureSheet) -> GelCurves:
    """The curves of one sheet, which has gel times."""
    law = cure_sheets.law_of(sheet)
    drawn = gel_curve.curves(sheet, law)
    limits_assumed = sheet.mix.kind == "catalysed" and sheet.limits_assumed
    return GelCurves(
        reach=gel_curve.reach(law),
        curves=drawn,
        banded=gel_curve.middle(law, drawn),
        table=gel_curve.table(sheet, law),
        points=sheet.gel_points,
        assumed_limits=sheet.percent_limits if limits_assumed else None,
    )
