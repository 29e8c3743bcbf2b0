"""Shopping: what to buy for all open jobs, by supplier; as JSON or as a table."""

from __future__ import annotations

import csv
import io
from typing import Any

from flask import Response, request
from flask.views import MethodView

from ...acts.jobs import shopping
from ...core.amounts import quantities
from ...core.amounts.quantities import COUNT, LENGTH, MASS, Kind
from .. import fields
from ..context.request import now, units
from ..fields.schemas import Answer, Loaded, Query
from ..files.cells import guarded
from ..http.access import reads
from ..http.blueprint import Blueprint

blp = Blueprint("shopping", __name__, url_prefix="/v1/shopping", description="What to buy.")

IN_STOCK = (MASS, LENGTH, COUNT)
COLUMNS = ("supplier", "product", "name", "buy", "unit", "longest_piece", "by", "jobs")
CSV = "text/csv"


class ShoppingQuery(Query):
    """As what to answer."""

    format = fields.Choice(("json", "csv"), load_default=None)


class BuyOut(Answer):
    """A product to buy."""

    product = fields.Code(required=True)
    name = fields.Text(required=True)
    supplier = fields.Text(allow_none=True)
    buy = fields.AnyQuantity(IN_STOCK, required=True)
    short = fields.AnyQuantity(IN_STOCK, required=True)
    below_reorder = fields.AnyQuantity(IN_STOCK, required=True)
    free = fields.AnyQuantity(IN_STOCK, required=True)
    longest_piece = fields.Quantity(LENGTH, allow_none=True)
    by = fields.Day(allow_none=True)
    jobs = fields.List(fields.Code())


class ShoppingOut(Answer):
    """What to buy, by supplier."""

    items = fields.List(fields.Nested(BuyOut), required=True)


@blp.route("")
class Shopping(MethodView):
    """The list."""

    @blp.or_as(CSV)
    @blp.arguments(ShoppingQuery, location="query")
    @reads()
    @blp.response(200, ShoppingOut)
    def get(self, query: Loaded) -> Any:
        """List what to buy; as a table with `?format=csv` or `Accept: text/csv`."""
        told = shopping.shopping(now())
        best = request.accept_mimetypes.best_match(["application/json", CSV])
        if query["format"] == "csv" or (query["format"] is None and best == CSV):
            return Response(_table(told["items"]), mimetype=CSV)
        return told


def _table(items: list[dict[str, Any]]) -> str:
    text = io.StringIO(newline="")
    table = csv.writer(text)
    table.writerow(COLUMNS)
    for item in items:
        buy, unit = _shown(*item["buy"])
        piece = item["longest_piece"]
        table.writerow(
            [
                guarded(item["supplier"] or ""),
                guarded(item["product"]),
                guarded(item["name"]),
                buy,
                unit,
                "" if piece is None else " ".join(_shown(piece, LENGTH)),
                item["by"] or "",
                " ".join(item["jobs"]),
            ]
        )
    return text.getvalue()


def _shown(value: int, kind: Kind) -> tuple[str, str]:
    """An amount and its unit, in the units that the request wants."""
    shown = quantities.show(value, kind, units())
    return f"{shown['value']:.12g}", str(shown["unit"])
