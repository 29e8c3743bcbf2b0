"""Export tables for a spreadsheet: the catalogue, lots, readings, the ledger.

A table is made in pages, so that its length costs no memory, and no read of the store is long.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Iterator
from datetime import UTC
from itertools import chain, islice
from operator import attrgetter
from tempfile import SpooledTemporaryFile
from typing import IO, Any, TypeAlias

from flask import Response
from flask.views import MethodView

from ...acts.bays import readings
from ...acts.products.product import list_products
from ...acts.stock import movement
from ...acts.stock.lot import list_lots
from ...acts.yard import finding
from ...core.amounts.quantities import AREAL_WEIGHT, DENSITY, LENGTH, SIZE, TEMPERATURE, TIME
from ...core.errors import Busy
from ...store.engine.database import reading
from .. import fields
from ..context.exports import RETRY_S, Turn
from ..context.request import house, now, units, zone
from ..fields.schemas import Loaded, Query
from ..files.out import Column, amount, table
from ..http.access import reads
from ..http.blueprint import Blueprint

blp = Blueprint(
    "exports", __name__, url_prefix="/v1/exports", description="Tables for a spreadsheet."
)

CSV = "text/csv"
ROWS = 500
"""In a page."""
LONGEST_S = 600
"""A table that is read so slowly is broken off: it holds up another's turn."""
SNAPSHOT_S = 20
IN_MEMORY, PIECE = 1024 * 1024, 64 * 1024
"""Bytes of a table that are kept in memory until it is sent, the others on the disk; of a piece."""

Page: TypeAlias = list[Any]
"""A page's rows."""

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
    Column("bulk_density", DENSITY),
    Column("particle_density", DENSITY),
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

    @reads(in_pages=True)
    @blp.response(200, {"type": "string"}, content_type=CSV)
    def get(self) -> Response:
        """Export the catalogue, a product in each row, without cure sheets and consistencies."""
        columns = (*PRODUCT, *_pair("reorder_at"))
        return _kept("products", columns, _by_id(list_products))


@blp.route("/lots")
class Lots(MethodView):
    """Lots in stock."""

    @reads(in_pages=True)
    @blp.response(200, {"type": "string"}, content_type=CSV)
    def get(self) -> Response:
        """Export the lots in stock, a container in each row."""
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
        at = now()
        return _kept(
            "lots", columns, _by_id(lambda after, n: list_lots(after, n, at, in_stock=True))
        )


@blp.route("/readings/<code:bay>")
class Readings(MethodView):
    """The readings of a bay."""

    @reads(in_pages=True)
    @blp.response(200, {"type": "string"}, content_type=CSV)
    def get(self, bay: str) -> Response:
        """Export a bay's readings in force, oldest first, on the yard's clock and in UTC."""
        row = finding.bay(bay)
        columns = (
            Column("at", clock=zone()),
            Column("at", clock=UTC),
            Column("temperature", TEMPERATURE),
            Column("humidity_percent"),
            Column("doubt"),
        )
        return _streamed(f"readings-{row.code}", columns, readings.pages_in_force(row.id, ROWS))


@blp.route("/movements")
class Movements(MethodView):
    """The ledger."""

    @blp.arguments(MovementsExport, location="query")
    @reads(in_pages=True)
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
        return _streamed("movements", columns, movement.pages(ROWS, **query))


def _by_id(page: Callable[[int | None, int], list[Any]]) -> Iterator[list[Any]]:
    """All pages of a list that goes on after an id."""
    after: int | None = None
    while rows := page(after, ROWS):
        yield rows
        after = rows[-1].id


def _pair(name: str) -> tuple[Column, Column]:
    """The columns of an amount whose unit differs from row to row: number and unit."""
    value, system = attrgetter(name), units()
    return (
        Column(name, value=lambda row: amount(value(row), system)[0]),
        Column("unit", value=lambda row: amount(value(row), system)[1]),
    )


def _streamed(name: str, columns: Iterable[Column], pages: Iterator[Page]) -> Response:
    """A table of what is only added to: each page is read when it is sent."""
    turn = house().exports.begin()
    try:
        pieces = _in_time(table(columns, pages, units()), turn)
        begun = [next(pieces), *islice(pieces, 1)]  # so that what is wrong becomes a refusal
    except BaseException:
        turn.over()
        raise
    answer = _file(name, chain(begun, pieces))
    answer.call_on_close(turn.over)
    return answer


def _in_time(pieces: Iterator[str], turn: Turn) -> Iterator[str]:
    """The pieces, until the time is over; a reader that is cut off sees that the end is missing."""
    until = time.monotonic() + LONGEST_S
    try:
        for piece in pieces:
            if time.monotonic() > until:
                raise TimeoutError(f"a table was not read within {LONGEST_S} s")
            yield piece
    finally:
        turn.over()


def _kept(name: str, columns: Iterable[Column], pages: Iterator[Page]) -> Response:
    """A table of what changes: made at one moment of the store, then sent as slowly as it is read.

    A read that goes on for long keeps SQLite's log from being used again, so its time is limited.

    Raises:
        Busy: the table is not ready in that time.
    """
    turn, until = house().exports.begin(), time.monotonic() + SNAPSHOT_S
    made = SpooledTemporaryFile(max_size=IN_MEMORY, mode="w+b")  # noqa: SIM115 (the answer closes it)
    try:
        with reading():
            for piece in table(columns, pages, units()):
                made.write(piece.encode())
                if time.monotonic() > until:
                    raise Busy(
                        f"The table was not ready within {SNAPSHOT_S} s.",
                        advice="Try again when the service has less to do.",
                        retry_after_s=RETRY_S,
                    )
    except BaseException:
        made.close()
        raise
    finally:
        turn.over()
    if made.tell() <= IN_MEMORY:
        return _file(name, list(_read(made)))
    answer = _file(name, _read(made))
    answer.call_on_close(made.close)
    return answer


def _read(made: IO[bytes]) -> Iterator[bytes]:
    with made:
        made.seek(0)
        yield from iter(lambda: made.read(PIECE), b"")


def _file(name: str, pieces: Iterable[str] | Iterable[bytes]) -> Response:
    """The answer, which a browser saves under the name."""
    answer = Response(pieces, mimetype=CSV)
    answer.headers["Content-Disposition"] = f'attachment; filename="{name}.csv"'
    return answer
