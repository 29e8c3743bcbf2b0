"""Products: the catalogue, and a product's cure sheets with the gel curve made from them."""

from __future__ import annotations

from flask import Flask

from ...acts.cure.score import score_of
from ...acts.products import gel_curves, product
from ...acts.stock.lot import list_lots
from ...acts.yard import finding
from ..context.request import now, units
from ..drawings.gel_chart import chart
from ..drawings.score_chart import score_chart
from . import base, lists, paper

MOST_LOTS = 50
"""Most lots in stock on a product's page; the list of lots has them all."""


def add(app: Flask) -> None:
    """Add these pages to an application."""
    app.add_url_rule("/products", "products_page", base.looks(list_products))
    app.add_url_rule("/products/<code:code>", "product_page", base.looks(show_product))


def list_products() -> str:
    """The catalogue by age."""
    return base.sheet("products.html", products=lists.listed(product.list_products))


def show_product(code: str) -> str:
    """A product's facts, how it cures, and its lots in stock."""
    row = finding.product(code)
    shown = product.show_product(row)
    sheets = shown.cure.sheets if shown.cure else []
    score = score_of(row, now())
    return base.sheet(
        "product.html",
        score=score,
        drawn=score_chart(score.promises),
        foot=paper.of("product", row.code),
        product=shown,
        sheets=[
            {"sheet": sheet, "curves": curves, "chart": curves and chart(curves, units())}
            for sheet, curves in zip(sheets, gel_curves.gel_curves(row), strict=True)
        ],
        lots=list_lots(None, MOST_LOTS, now(), product=row.code, in_stock=True),
    )
