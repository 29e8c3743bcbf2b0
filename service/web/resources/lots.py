"""Lots: deliveries, their state now, cup tests and extensions."""

from __future__ import annotations

from typing import Any

from flask.views import MethodView

from ...acts.stock.change_lot import change_lot
from ...acts.stock.cup_test import CupTestView, cup_lot
from ...acts.stock.extend_lot import extend_lot
from ...acts.stock.lot import LotView, LotWithWarningsView, list_lots
from ...acts.stock.lot_history import show_stored
from ...acts.stock.receive import receive_lot
from ...acts.yard import finding
from ...core.amounts.quantities import GEL_TIME, MASS, TEMPERATURE
from ...core.errors import Invalid
from ...core.stock.cup_test import CONDITIONS
from ...core.stock.lots import State
from ...store.engine.turns import Turn
from .. import fields
from ..context.request import hand, now
from ..fields.schemas import Body, Loaded
from ..fields.views import answer
from ..http import paging, versions
from ..http.access import reads, writes
from ..http.blueprint import Blueprint
from .bodies import STOCK

blp = Blueprint("lots", __name__, url_prefix="/v1/lots", description="Stock by lot number.")

STATES: tuple[State, ...] = ("good", "soon", "expired", "held", "empty")


class MoneyIn(Body):
    """What all of a receipt cost."""

    amount = fields.Number(least=0, most=1e9, required=True)
    currency = fields.Currency(required=True)


class PriceIn(Body):
    """What a unit of a receipt cost."""

    amount = fields.Number(least=0, most=1e9, required=True)
    per = fields.Per(STOCK, required=True)
    currency = fields.Currency(metadata={"description": "Without it the yard's."})


class Delivered(Body):
    """One container as it came, but for its cost."""

    product = fields.Code(required=True)
    number = fields.LotNumber(required=True)
    container = fields.Code()
    quantity = fields.StockQuantity(STOCK, required=True, positive=True)
    made_on = fields.Day()
    expires_on = fields.Day()
    received_on = fields.Day()
    bay = fields.Code()
    supplier = fields.Text()


class LotIn(Delivered):
    """A delivery: one container."""

    at = fields.Moment(
        metadata={"description": "When it came, where the day that it came on is not enough."}
    )
    cost = fields.Nested(
        MoneyIn, metadata={"description": "Of the whole receipt: all that is in the container."}
    )
    cost_per = fields.Nested(
        PriceIn,
        metadata={"description": "A price for a unit, instead of `cost`: 4.60 EUR a kg, say."},
    )
    unit_cost = fields.Nested(
        MoneyIn,
        metadata={
            "description": "The old name of `cost`: of the whole receipt, and never of a unit.",
            "deprecated": True,
        },
    )


class LotChange(Body):
    """What may be changed of a lot, never its stock; a lead corrects a date given before."""

    bay = fields.Code()
    held = fields.Flag()
    reason = fields.Text()
    opened_on = fields.Day()
    made_on = fields.Day()
    expires_on = fields.Day(metadata={"description": "The last day it is good, from the drum."})


class CupTestIn(Body):
    """A gel time measured in a cup, or in two."""

    catalyst_lot = fields.Integer(least=1, required=True)
    mass = fields.AnyQuantity((MASS,), positive=True, required=True)
    temperature = fields.Quantity(TEMPERATURE, required=True)
    catalyst_percent = fields.Number(above=0, most=100)
    gel_times = fields.List(
        fields.Quantity(GEL_TIME, positive=True), least=1, most=2, required=True
    )
    condition = fields.Choice(CONDITIONS, load_default="normal")
    at = fields.Moment()


class ExtensionIn(Body):
    """A life extended."""

    until_on = fields.Day(required=True)
    reason = fields.Text(required=True)


class LotPage(paging.Page):
    """Which lots to list."""

    product = fields.Code(load_default=None)
    number = fields.LotNumber(load_default=None)
    state = fields.Choice(STATES, load_default=None)


@blp.route("")
class Lots(MethodView):
    """The yard's lots."""

    @blp.arguments(LotPage, location="query")
    @reads()
    @blp.response(200, paging.listing(answer(LotView)))
    def get(self, query: Loaded) -> paging.Listed:
        """List lots."""
        wanted = {name: query[name] for name in ("product", "number", "state")}
        return paging.page(query, lambda a, n: list_lots(a, n, now(), **wanted))

    @blp.arguments(LotIn)
    @writes(role="hand")
    @blp.response(201, answer(LotWithWarningsView))
    def post(self, body: Loaded) -> Any:
        """Receive a delivery of one container; an expired one too, with a warning."""
        lot = receive_lot(**_by_its_new_name(body), now=now(), hand=hand())
        return lot, 201, {"Location": f"/v1/lots/{lot.id}"} | versions.etag(lot.version)


def _by_its_new_name(body: Loaded) -> Loaded:
    """A delivery with its cost under the name `cost`."""
    body = dict(body)
    old = body.pop("unit_cost", None)
    if old is not None and body.get("cost") is not None:
        raise Invalid(
            "The cost is given twice.",
            advice="Give 'cost' alone: 'unit_cost' is its old name.",
            pointer="/unit_cost",
        )
    return body if old is None else {**body, "cost": old}


@blp.route("/<id:lot>")
class Lot(MethodView):
    """One lot."""

    @reads()
    @blp.response(200, answer(LotWithWarningsView))
    def get(self, lot: int) -> Any:
        """Show a lot."""
        shown = show_stored(finding.lot(lot), now())
        return shown, 200, versions.etag(shown.version)

    @blp.arguments(LotChange)
    @writes(role="hand", versioned=True, turn=Turn.BESIDE)
    @blp.response(200, answer(LotWithWarningsView))
    def patch(self, body: Loaded, lot: int) -> Any:
        """Move, hold, release, open or date a lot."""
        row = finding.lot_to_change(lot)
        versions.match(row.version)
        shown = change_lot(row, **body, now=now(), hand=hand())
        return shown, 200, versions.etag(shown.version)


@blp.route("/<id:lot>/cup-tests")
class CupTests(MethodView):
    """A lot's gel times in a cup."""

    @blp.arguments(CupTestIn)
    @writes(role="hand")
    @blp.response(201, answer(CupTestView))
    def post(self, body: Loaded, lot: int) -> Any:
        """Record a cup test; later doses from the lot use its factor."""
        return cup_lot(finding.lot(lot), **body, now=now(), hand=hand()), 201


@blp.route("/<id:lot>/extensions")
class Extensions(MethodView):
    """Extensions of a lot's life."""

    @blp.arguments(ExtensionIn)
    @writes(role="lead")
    @blp.response(201, answer(LotWithWarningsView))
    def post(self, body: Loaded, lot: int) -> Any:
        """Extend a lot's life, once, after a test of two cups that it passed."""
        return extend_lot(finding.lot(lot), **body, now=now(), hand=hand()), 201
