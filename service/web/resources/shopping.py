"""Shopping: what to buy for all open jobs, by supplier; as JSON or as a table."""

from __future__ import annotations

import csv
import io
from typing import Any

from flask import Response, request
from flask.views import MethodView

from ...acts.jobs import shopping
from ...acts.jobs.shopping import BuyView, ShoppingView
from ...core.amounts import quantities
from ...core.amounts.quantities import LENGTH, Kind
from .. import fields
from ..context.request import now, units
from ..fields.schemas import Loaded, Query
from ..fields.views import answer
from ..http.access import reads
from ..http.blueprint import Blueprint

blp = Blueprint("shopping", __name__, url_prefix="/v1/shopping", description="What to buy.")

COLUMNS = ("supplier", "product", "name", "buy", "unit", "longest_piece", "by", "jobs")
CSV = "text/csv"


class ShoppingQuery(Query):
    """How to show the list."""

    format = fields.Choice(("json", "csv"), load_default=None)


@blp.route("")
class Shopping(MethodView):
    """The list."""

    @blp.or_as(CSV)
    @blp.arguments(ShoppingQuery, location="query")
    @reads()
    @blp.response(200, answer(ShoppingView))
    def get(self, query: Loaded) -> Any:
        """List what to buy; as a table with `?format=csv` or `Accept: text/csv`."""
        found = shopping.shopping(now())
        best = request.accept_mimetypes.best_match(["application/json", CSV])
        if query["format"] == "csv" or (query["format"] is None and best == CSV):
            return Response(_table(found.items), mimetype=CSV)
        return found


def _table(items: list[BuyView]) -> str:
    text = io.StringIO(newline="")
    table = csv.writer(text)
    table.writerow(COLUMNS)
    for item in items:
        buy, unit = _shown(*item.buy)
        piece = item.longest_piece
        table.writerow(
            [
                _cell(item.supplier or ""),
                _cell(item.product),
                _cell(item.name),
                buy,
                unit,
                "" if piece is None else " ".join(_shown(piece, LENGTH)),
                item.by or "",
                " ".join(item.jobs),
            ]
        )
    return text.getvalue()


def _shown(value: int, kind: Kind) -> tuple[str, str]:
    """An amount and its unit, in the units that the request asks for."""
    shown = quantities.show(value, kind, units())
    return f"{shown['value']:.12g}", str(shown["unit"])


def _cell(text: str) -> str:
    """A text that no spreadsheet takes for a formula."""
    return f"'{text}" if text[:1] in ("=", "+", "-", "@") else text
