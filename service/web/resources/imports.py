"""Import tables: a catalogue, lots, a logger's file; tried first, or taken in."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from functools import lru_cache, wraps
from typing import Any

from flask.views import MethodView

from ...acts.bays.import_readings import import_readings
from ...acts.products.import_products import import_product
from ...acts.stock.import_lots import import_lot
from ...acts.yard.imports import ImportView, LogImportView, import_rows, placed, refuse
from ...core.amounts import quantities
from ...core.amounts.quantities import TEMPERATURE
from ...core.errors import Invalid, Refusal
from ...core.stock.lots import BASES
from .. import fields
from ..context.request import hand, now, zone
from ..fields.base import no
from ..fields.schemas import Body, Loaded, Query
from ..fields.views import answer
from ..files import cells, days, logger, stock
from ..http.access import writes
from ..http.blueprint import Blueprint
from ..http.bodies import CSV_LIMIT
from .bodies import STOCK
from .lots import Delivered
from .products import ProductIn

blp = Blueprint(
    "imports", __name__, url_prefix="/v1/imports", description="Tables to import, as text/csv."
)


class ImportQuery(Query):
    """How the table is to be read, where it leaves something open."""

    dry_run = fields.Flag(
        load_default=False,
        metadata={"description": "Whether it is only tried: answered alike, and undone."},
    )
    dates = fields.Choice(
        ("dmy", "mdy"), load_default=None,
        metadata={"description": "Whether days or months come first in dates such as 03/04/2026."},
    )  # fmt: skip


class ReadingsQuery(ImportQuery):
    """Also what clock they are on."""

    zone = fields.Text(
        most=64, load_default=None,
        metadata={"description": "The logger's clock, such as UTC+01:00; else the yard's."},
    )  # fmt: skip
    probe = fields.Flag(
        load_default=False,
        metadata={"description": "Whether a probe goes on writing them: what jumped is doubted."},
    )


Measured = tuple[logger.Log, dict[int, Loaded]]
"""A log, and its readings by row in base units."""


class ProductRow(stock.TableBody, ProductIn):
    """A product as a row: all but its cure sheets and a filler's consistencies."""

    telling = frozenset({"measure", "version"})
    also = {"active_oxygen": "active_oxygen_percent"}  # noqa: RUF012 (read only)

    class Meta:
        exclude = ("cure", "consistencies")


class LotRow(stock.TableBody, Delivered):
    """A container as a row, as it was delivered and how it stands."""

    cost = fields.Number(least=0, most=1e9, metadata={"description": "Of the whole receipt."})
    cost_per = fields.Number(
        least=0, most=1e9, metadata={"description": "A price for the unit in `per`, instead."}
    )
    per = fields.Per(STOCK)
    currency = fields.Currency(metadata={"description": "Without it the yard's."})
    opened_on = fields.Day()
    held = fields.Flag()
    hold_reason = fields.Text()
    expires_basis = fields.Choice(BASES)

    also = {"on_hand": "quantity"}  # noqa: RUF012 (read only)
    money = frozenset({"cost", "cost_per"})
    telling = frozenset({"id", "state", "reserved", "free", "length", "width"})


class TableText(fields.Text):
    """A whole table as text."""

    def read(self, value: Any) -> str:
        """Read text of any length, lines and all."""
        if not isinstance(value, str):
            raise no("This must be a table, as text.")
        return value


class TableIn(Body):
    """A table: as text/csv, or as the text in a JSON object."""

    table = TableText(required=True, most=CSV_LIMIT)

    def from_csv(self, text: str) -> Loaded:
        """The object that a body of text/csv stands for."""
        return {"table": text}


def parsed(read: Callable[..., Any]) -> Callable[[Any], Any]:
    """Read a method's table before the store is locked.

    Args:
        read: makes rows of the table's text and the query.
    """

    def decorate(view: Any) -> Any:
        @wraps(view)
        def viewed(self: Any, query: Any, body: Loaded, **address: Any) -> Any:
            return view(self, query, read(body["table"], query), **address)

        return viewed

    return decorate


@blp.route("/products")
class Products(MethodView):
    """The catalogue."""

    @blp.arguments(ImportQuery, location="query")
    @blp.arguments(TableIn)
    @parsed(lambda text, query: stock.read(text, ProductRow(), query["dates"]))
    @writes(role="lead", keyed=False, by_itself=True)
    @blp.response(200, answer(ImportView))
    def post(self, query: Loaded, rows: stock.Rows) -> Any:
        """Add the products of a table: all or none; known ones stay as they are."""
        return _done(query, rows, import_product)


@blp.route("/lots")
class Lots(MethodView):
    """Deliveries."""

    @blp.arguments(ImportQuery, location="query")
    @blp.arguments(TableIn)
    @parsed(lambda text, query: stock.read(text, LotRow(), query["dates"]))
    @writes(role="hand", keyed=False, by_itself=True)
    @blp.response(200, answer(ImportView))
    def post(self, query: Loaded, rows: stock.Rows) -> Any:
        """Receive the containers of a table: all or none; known ones stay as they are."""
        return _done(query, rows, import_lot)


@blp.route("/readings/<code:bay>")
class Readings(MethodView):
    """A temperature logger's file."""

    @blp.arguments(ReadingsQuery, location="query")
    @blp.arguments(TableIn)
    @parsed(lambda text, query: _measured(_log(text, query)))
    @writes(role="hand", keyed=False, by_itself=True)
    @blp.response(200, answer(LogImportView))
    def post(self, query: Loaded, read: Measured, bay: str) -> Any:
        """Record a logger's readings of a bay: all or none; known ones stay as they are."""
        log, readings = read
        told = import_readings(
            bay=bay,
            readings=readings,
            probe=query["probe"],
            dry=query["dry_run"],
            now=now(),
            hand=hand(),
        )
        told.notes[:0] = log.notes
        told.headings, told.dates = log.headings, log.dates
        return told


def _done(query: dict[str, Any], rows: stock.Rows, act: Callable[..., str | None]) -> ImportView:
    given = {"now": now(), "hand": hand()}
    return import_rows(rows, lambda facts: act(facts, **given), dry=query["dry_run"])


def _log(text: str, query: Loaded) -> logger.Log:
    clock = zone() if query["zone"] is None else days.zone(query["zone"])
    return logger.read(text, clock, query["dates"])


def _measured(log: logger.Log) -> Measured:
    """A log, and its readings by row in base units.

    Raises:
        Refusal: texts that are no temperature or humidity, each with its row.
    """
    readings: dict[int, Loaded] = {}
    faults: list[Refusal] = []
    for line in log.lines:
        try:
            readings[line.row] = {
                "at": int(line.at.timestamp()),
                "temperature": _kelvin(line.temperature),
                "humidity_percent": _percent(line.humidity),
            }
        except Refusal as fault:
            fault.pointer = fault.pointer or "/temperature"
            faults.append(placed(fault, line.row))
    refuse(faults)
    return log, readings


@lru_cache(maxsize=8192)  # a logger repeats itself
def _kelvin(text: str) -> Decimal:
    return quantities.parse(text, TEMPERATURE)


@lru_cache(maxsize=8192)
def _percent(text: str) -> Decimal | None:
    if not text:
        return None
    if not cells.is_number(text) or not 0 < Decimal(text) <= 100:
        raise Invalid(
            f"{text[:20]!r} is not a humidity.",
            advice="It is a percent over 0, up to 100.",
            pointer="/humidity",
        )
    return Decimal(text)
