"""Movements: the ledger's lines, and the acts that write them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from flask.views import MethodView

from ...acts.stock.count import accept_count, count
from ...acts.stock.draw import draw
from ...acts.stock.movement import MovedView, MovementView, list_movements, show_line
from ...acts.stock.return_stock import return_stock
from ...acts.stock.reverse import reverse
from ...core.amounts.quantities import SIZE
from ...core.errors import Invalid
from ...store.engine.turns import Turn
from .. import fields
from ..context.request import hand, now
from ..fields.schemas import Body, Loaded
from ..fields.views import answer
from ..http import paging
from ..http.access import reads, writes
from ..http.blueprint import Blueprint
from .bodies import STOCK, ReasonIn

blp = Blueprint("movements", __name__, url_prefix="/v1/movements", description="The ledger.")

KINDS = ("draw", "return", "count", "scrap", "reversal")


class SizeIn(Body):
    """The sizes of a piece of sheet; a quantity of one piece is the share of a sheet they are."""

    length = fields.Quantity(SIZE, required=True, positive=True)
    width = fields.Quantity(SIZE, required=True, positive=True)


class MovementIn(Body):
    """Stock drawn, brought back, counted, scrapped, or a line of the ledger reversed."""

    kind = fields.Choice(KINDS, required=True)
    lot = fields.Integer(least=1)
    product = fields.Code()
    quantity = fields.StockQuantity(STOCK, or_all=True)
    job = fields.Code()
    reason = fields.Text()
    at = fields.Moment()
    counted_at = fields.Moment()
    override = fields.Nested(ReasonIn)
    reverses = fields.Integer(least=1)
    reverses_all = fields.List(
        fields.Integer(least=1),
        least=1,
        most=200,
        metadata={"description": "Several lines, all undone or none."},
    )
    size = fields.Nested(SizeIn)


class AcceptanceIn(Body):
    """A lead's word on a count."""

    note = fields.Text()


class MovementPage(paging.Page):
    """Which lines to list."""

    lot = fields.Integer(least=1, load_default=None)
    job = fields.Code(load_default=None)
    mine = fields.Flag(
        load_default=False, metadata={"description": "Only what was recorded by who asks."}
    )
    unaccepted = fields.Flag(
        load_default=False,
        metadata={"description": "Only counts whose difference no lead has accepted yet."},
    )


ACTS: Mapping[str, tuple[Callable[..., MovedView], frozenset[str], frozenset[str]]] = {
    "draw": (
        draw,
        frozenset({"kind", "quantity", "job"}),
        frozenset({"lot", "product", "reason", "at", "override"}),
    ),
    "scrap": (
        draw,
        frozenset({"kind", "quantity", "reason"}),
        frozenset({"lot", "product", "job", "at"}),
    ),
    "return": (
        return_stock,
        frozenset({"quantity", "job"}),
        frozenset({"lot", "product", "reason", "at", "size"}),
    ),
    "count": (count, frozenset({"lot", "quantity"}), frozenset({"counted_at", "reason"})),
    "reversal": (
        reverse,
        frozenset({"reason"}),
        frozenset({"reverses", "reverses_all"}),
    ),
}
"""Each kind's act, the fields that it needs, and the fields that it may have."""


@blp.route("")
class Movements(MethodView):
    """The ledger."""

    @blp.arguments(MovementPage, location="query")
    @reads()
    @blp.response(200, paging.listing(answer(MovementView)))
    def get(self, query: Loaded) -> paging.Listed:
        """List movements, newest first."""
        by = hand() if query["mine"] else None
        wanted = {"lot": query["lot"], "job": query["job"], "by": by}
        wanted["waiting"] = query["unaccepted"]
        return paging.page(query, lambda a, n: list_movements(a, n, **wanted))

    @blp.arguments(MovementIn)
    @writes(role="hand", turn=Turn.BESIDE)
    @blp.response(201, answer(MovedView))
    def post(self, body: Loaded) -> Any:
        """Draw, return, count or scrap stock, or reverse a line of the ledger."""
        act, needed, welcome = ACTS[body["kind"]]
        _check(body, needed, needed | welcome)
        given = {name: value for name, value in body.items() if name in needed | welcome}
        return act(**given, now=now(), hand=hand()), 201


@blp.route("/<id:movement>")
class Movement(MethodView):
    """One line of the ledger."""

    @reads()
    @blp.response(200, answer(MovementView))
    def get(self, movement: int) -> Any:
        """Show a line of the ledger."""
        return show_line(movement)


@blp.route("/<id:movement>/acceptance")
class Acceptance(MethodView):
    """The acceptance of a count."""

    @blp.arguments(AcceptanceIn)
    @writes(role="lead")
    @blp.response(201, answer(MovementView))
    def post(self, body: Loaded, movement: int) -> Any:
        """Accept a count's difference; it changed the ledger when it was entered."""
        return accept_count(movement, **body, now=now(), hand=hand()), 201


def _check(body: Loaded, needed: frozenset[str], welcome: frozenset[str]) -> None:
    kind = body["kind"]
    for name in sorted(needed - body.keys()):
        raise Invalid(f"A {kind} needs {name}.", advice=f"Give {name}.", pointer=f"/{name}")
    for name in sorted(body.keys() - welcome - {"kind"}):
        raise Invalid(f"A {kind} has no {name}.", advice=f"Leave {name} out.", pointer=f"/{name}")
    if body.get("quantity") == fields.ALL and kind not in ("draw", "scrap"):
        raise Invalid(
            f"'all' does not fit a {kind}.", advice="Give the amount.", pointer="/quantity"
        )
