"""Lots: what was delivered, how it stands, and where it went."""

from __future__ import annotations

import re
from operator import itemgetter
from typing import Any

from flask.views import MethodView

from ...acts.stock import change_lot, extend_lot, lot_history
from ...acts.stock import cup_test as cup_lot
from ...acts.stock import lists as list_stock
from ...acts.stock import receive as receive_lot
from ...acts.yard import finding
from ...core.amounts.quantities import AREA, COUNT, GEL_TIME, LENGTH, MASS, TEMPERATURE, VOLUME
from ...core.errors import Invalid
from ...core.stock.cup_test import CONDITIONS
from ...core.stock.lots import BASES
from .. import fields
from ..context.request import hand, now
from ..fields.base import no
from ..fields.schemas import Answer, Body
from ..http import paging, versions
from ..http.access import reads, writes
from ..http.blueprint import Blueprint

blp = Blueprint("lots", __name__, url_prefix="/v1/lots", description="Stock by lot number.")

STOCK = (MASS, VOLUME, LENGTH, AREA, COUNT)
STATES = ("good", "soon", "expired", "held", "empty")
VERDICTS = ("use", "caution", "hold", "scrap")
BASIS_MEANS = (
    "What the last day rests on. stated: the date that was given. made_on: the day it was made "
    "and the product's shelf life. received_on: nobody gave a date, so the shelf life is counted "
    "from receipt, and it may end sooner. opened_on: the day it was opened, and the open life. "
    "extended: a lead's extension. none: no date, and no shelf life."
)
KINDS = ("receipt", "draw", "return", "count", "scrap", "reversal")


class Currency(fields.Code):
    """A currency by its ISO 4217 code."""

    pattern = "^[A-Z]{3}$"

    def _deserialize(self, value: Any, *args: Any, **kwargs: Any) -> str:
        if not isinstance(value, str) or re.fullmatch("[A-Z]{3}", value) is None:
            raise no("That is not a currency.", "Use its three capital letters, such as EUR.")
        return value


class MoneyIn(Body):
    """What all of a receipt cost."""

    amount = fields.Number(least=0, most=1e9, required=True)
    currency = Currency(required=True)


class PriceIn(Body):
    """What a unit of a receipt cost."""

    amount = fields.Number(least=0, most=1e9, required=True)
    per = fields.Per(STOCK, required=True)
    currency = Currency(metadata={"description": "Without it the yard's."})


class Delivered(Body):
    """One container as it came, but for its cost."""

    product = fields.Code(required=True)
    number = fields.Code(required=True)
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


class MoneyOut(Answer):
    """An amount of money."""

    amount = fields.Number()
    currency = fields.Text()


class LotOut(Answer):
    """A lot as of now."""

    id = fields.Integer(required=True)
    product = fields.Code(required=True)
    number = fields.Code(required=True)
    container = fields.Text(required=True)
    on_hand = fields.AnyQuantity((MASS, LENGTH, COUNT), required=True)
    reserved = fields.AnyQuantity((MASS, LENGTH, COUNT), required=True)
    free = fields.AnyQuantity((MASS, LENGTH, COUNT), required=True)
    state = fields.Choice(STATES, required=True)
    received_on = fields.Day()
    made_on = fields.Day(allow_none=True)
    expires_on = fields.Day(
        allow_none=True, metadata={"description": "The last day it is good; null: it never ends."}
    )
    expires_basis = fields.Choice(
        BASES, required=True,
        metadata={"description": BASIS_MEANS},
    )  # fmt: skip
    expires_note = fields.Text(
        allow_none=True,
        metadata={"description": "What a person must know of it, such as that it is assumed."},
    )
    opened_on = fields.Day(allow_none=True)
    bay = fields.Code(allow_none=True)
    held = fields.Flag()
    hold_reason = fields.Text(allow_none=True)
    parent = fields.Integer(allow_none=True)
    length = fields.Quantity(LENGTH, allow_none=True)
    width = fields.Quantity(LENGTH, allow_none=True)
    cost = fields.Nested(MoneyOut, allow_none=True)
    supplier = fields.Text(allow_none=True)
    version = fields.Integer(required=True)
    warnings = fields.List(fields.Text())


class MovementOut(Answer):
    """One line of the ledger."""

    id = fields.Integer(required=True)
    lot = fields.Integer(required=True)
    number = fields.Code()
    container = fields.Text()
    product = fields.Code()
    kind = fields.Choice(KINDS, required=True)
    quantity = fields.AnyQuantity((MASS, LENGTH, COUNT), required=True)
    on_hand = fields.AnyQuantity((MASS, LENGTH, COUNT), required=True)
    job = fields.Code(allow_none=True)
    batch = fields.Integer(allow_none=True)
    reverses = fields.Integer(allow_none=True)
    reason = fields.Text(allow_none=True)
    accepted = fields.Flag(
        allow_none=True,
        metadata={"description": "By a lead, of a count that found a difference; else null."},
    )
    accepted_by = fields.Text(allow_none=True)
    typed = fields.Text(allow_none=True)
    at = fields.Moment()
    recorded_at = fields.Moment()
    who = fields.Text()
    verified = fields.Flag()


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


class CupTestOut(Answer):
    """What a cup test says of a lot."""

    id = fields.Integer(required=True)
    lot = fields.Integer(required=True)
    catalyst_lot = fields.Integer()
    gel_times = fields.List(fields.Quantity(GEL_TIME))
    expected = fields.Quantity(GEL_TIME)
    factor = fields.Number()
    verdict = fields.Choice(VERDICTS)
    advice = fields.Text()
    at = fields.Moment()
    who = fields.Text()


class ExtensionIn(Body):
    """A life extended."""

    until_on = fields.Day(required=True)
    reason = fields.Text(required=True)


class LotPage(paging.Page):
    """Which lots to list."""

    product = fields.Code(load_default=None)
    number = fields.Code(load_default=None)
    state = fields.Choice(STATES, load_default=None)


@blp.route("")
class Lots(MethodView):
    """The shelves."""

    @blp.arguments(LotPage, location="query")
    @reads()
    @blp.response(200, paging.listing(LotOut))
    def get(self, query: dict[str, Any]) -> dict[str, Any]:
        """List lots."""
        wanted = {name: query[name] for name in ("product", "number", "state")}
        return paging.page(
            query, lambda a, n: list_stock.list_lots(a, n, now(), **wanted), itemgetter("id")
        )

    @blp.arguments(LotIn)
    @writes(role="hand")
    @blp.response(201, LotOut)
    def post(self, body: dict[str, Any]) -> Any:
        """Receive a delivery: one container. An expired one is received too, and says so."""
        lot = receive_lot.receive_lot(**_by_its_new_name(body), now=now(), hand=hand())
        return lot, 201, {"Location": f"/v1/lots/{lot['id']}"} | versions.etag(lot["version"])


def _by_its_new_name(body: dict[str, Any]) -> dict[str, Any]:
    """A delivery whose cost is called so."""
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
    @blp.response(200, LotOut)
    def get(self, lot: int) -> Any:
        """Show a lot."""
        shown = lot_history.show_lot(finding.lot(lot), now())
        return shown, 200, versions.etag(shown["version"])

    @blp.arguments(LotChange)
    @writes(role="hand", versioned=True)
    @blp.response(200, LotOut)
    def patch(self, body: dict[str, Any], lot: int) -> Any:
        """Move, hold, release, open or date a lot."""
        row = finding.lot(lot)
        versions.match(row.version)
        shown = change_lot.change_lot(row, **body, now=now(), hand=hand())
        return shown, 200, versions.etag(shown["version"])


@blp.route("/<id:lot>/cup-tests")
class CupTests(MethodView):
    """A lot's gel times in a cup."""

    @blp.arguments(CupTestIn)
    @writes(role="hand")
    @blp.response(201, CupTestOut)
    def post(self, body: dict[str, Any], lot: int) -> Any:
        """Record a cup test; later doses of the lot go by its factor."""
        return cup_lot.cup_lot(finding.lot(lot), **body, now=now(), hand=hand()), 201


@blp.route("/<id:lot>/extensions")
class Extensions(MethodView):
    """A lot's life, extended."""

    @blp.arguments(ExtensionIn)
    @writes(role="lead")
    @blp.response(201, LotOut)
    def post(self, body: dict[str, Any], lot: int) -> Any:
        """Extend a lot's life, once, on a passing test of two cups."""
        return extend_lot.extend_lot(finding.lot(lot), **body, now=now(), hand=hand()), 201
