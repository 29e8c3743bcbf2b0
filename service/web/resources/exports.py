"""Export tables for a spreadsheet: the catalogue, lots, readings, the ledger."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC
from typing import Any

from flask import Response
from flask.views import MethodView

from ...acts.bays import readings
from ...acts.products.product import list_products
from ...acts.stock.lot import list_lots
from ...acts.stock.movement import list_movements
from ...acts.yard import finding
from ...core.amounts.quantities import AREAL_WEIGHT, DENSITY, LENGTH, SIZE, TEMPERATURE, TIME
from .. import fields
from ..context.request import now, units, zone
from ..fields.schemas import Loaded, Query
from ..files.out import Column, amount, table
from ..http.access import reads
from ..http.blueprint import Blueprint

blp = Blueprint(
    "exports", __name__, url_prefix="/v1/exports", description="Tables for a spreadsheet."
)

CSV = "text/csv"
ALL = 2**62
"""A limit above the rows of any store."""

PRODUCT = (
    Column("code"),
    Column("name"),
    Column("role"),
    Column("chemistry"),
    Column("density", DENSITY),
    Column("cured_density", DENSITY),
    Column("fibre_fraction"),
    Column("areal_weight", AREAL_WEIGHT),
    Column("width", LENGTH),
    Column("length", LENGTH),
    Column("thickness", SIZE),
    Column("shelf_life", TIME, days=True),
    Column("open_life", TIME, days=True),
    Column("life_type"),
    Column("active_oxygen_percent"),
    Column("peroxide_type"),
    Column("effects"),
    Column("promoted"),
    Column("binder"),
    Column("storage_min", TEMPERATURE),
    Column("storage_max", TEMPERATURE),
    Column("supplier"),
)


class MovementsExport(Query):
    """Which lines of the ledger."""

    lot = fields.Integer(least=1, load_default=None)
    job = fields.Code(load_default=None)


@blp.route("/products")
class Products(MethodView):
    """The catalogue."""

    @reads()
    @blp.response(200, {"type": "string"}, content_type=CSV)
    def get(self) -> Response:
        """Export the catalogue without cure sheets, a product in each row."""
        columns = (*PRODUCT, *_pair("reorder_at"))
        return _file("products", columns, list_products(None, ALL))


@blp.route("/lots")
class Lots(MethodView):
    """Lots in stock."""

    @reads()
    @blp.response(200, {"type": "string"}, content_type=CSV)
    def get(self) -> Response:
        """Export the lots in stock, a container in each row."""
        lots = list_lots(None, ALL, now())
        columns = (
            *map(Column, ("product", "number", "container")),
            *_pair("on_hand"),
            *map(Column, ("state", "received_on", "made_on", "expires_on", "expires_basis")),
            *map(Column, ("opened_on", "bay", "held", "hold_reason", "supplier")),
            Column("length", LENGTH),
            Column("width", LENGTH),
            Column("cost", value=lambda lot: lot.cost and lot.cost.amount),
            Column("currency", value=lambda lot: lot.cost and lot.cost.currency),
        )
        return _file("lots", columns, (lot for lot in lots if lot.on_hand[0]))


@blp.route("/readings/<code:bay>")
class Readings(MethodView):
    """The readings of a bay."""

    @reads()
    @blp.response(200, {"type": "string"}, content_type=CSV)
    def get(self, bay: str) -> Response:
        """Export a bay's readings in force, oldest first, on the yard's clock and in UTC."""
        place = finding.bay(bay)
        columns = (
            Column("at", clock=zone()),
            Column("at", clock=UTC),
            Column("temperature", TEMPERATURE),
            Column("humidity_percent"),
            Column("doubt"),
        )
        return _file(f"readings-{place.code}", columns, readings.list_in_force(place.id))


@blp.route("/movements")
class Movements(MethodView):
    """The ledger."""

    @blp.arguments(MovementsExport, location="query")
    @reads()
    @blp.response(200, {"type": "string"}, content_type=CSV)
    def get(self, query: Loaded) -> Response:
        """Export the lines of the ledger, newest first; of all, a lot or a job."""
        columns = (
            Column("id"),
            Column("at", clock=zone()),
            *map(Column, ("kind", "product", "number", "container")),
            *_pair("quantity"),
            _pair("on_hand")[0],
            *map(Column, ("job", "batch", "reverses", "reason", "typed", "who")),
            Column("recorded_at", clock=zone()),
        )
        return _file("movements", columns, list_movements(None, ALL, **query))


def _pair(name: str) -> tuple[Column, Column]:
    """The columns of an amount whose unit differs from row to row: number and unit."""
    return (
        Column(name, value=lambda row: amount(getattr(row, name), units())[0]),
        Column("unit", value=lambda row: amount(getattr(row, name), units())[1]),
    )


def _file(name: str, columns: Iterable[Column], rows: Iterable[Any]) -> Response:
    """The answer, which a browser saves under the name."""
    answer = Response(table(columns, rows, units()), mimetype=CSV)
    answer.headers["Content-Disposition"] = f'attachment; filename="{name}.csv"'
    return answer
