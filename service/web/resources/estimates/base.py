"""How an estimate is written: a body, the function that takes it, and the view that this gives.

class CoatingIn(SumIn):
    area = fields.Quantity(AREA, required=True, positive=True)

estimate("/coating", CoatingIn, coating.coats, CoatingView, "Work out paint and thinner.")
"""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import Any

from flask.views import MethodView
from marshmallow import post_load

from ...fields.schemas import Body, Loaded
from ...fields.views import answer
from ...http.access import reads
from ...http.blueprint import Blueprint

blp = Blueprint(
    "estimates",
    __name__,
    url_prefix="/v1/estimates",
    description="Sums of a repair; nothing is kept.",
)


class SumIn(Body):
    """A body whose exact numbers load to floats: an estimate is a sum, and nothing is booked."""

    @post_load
    def to_floats(self, body: Loaded, **_options: Any) -> Any:
        """The body with a float for each `Decimal` in it."""
        return _floats(body)


def _floats(value: Any) -> Any:
    if isinstance(value, dict):
        return {name: _floats(each) for name, each in value.items()}
    if isinstance(value, list):
        return [_floats(each) for each in value]
    return float(value) if isinstance(value, Decimal) else value


def estimate(
    path: str,
    asked: type[Body],
    work: Callable[..., Any],
    view: type,
    does: str,
    *,
    or_as: str | None = None,
) -> None:
    """Serve an estimate.

    Args:
        work: takes the values of the body by their names; gives the view, or a response.
        does: the operation's description.
        or_as: another media type that `work` may answer in.
    """

    def post(_self: MethodView, body: dict[str, Any]) -> Any:
        return work(**body)

    post.__doc__ = does
    described = blp.arguments(asked)(reads()(blp.response(200, answer(view))(post)))
    described = described if or_as is None else blp.or_as(or_as)(described)
    blp.route(path)(type(path.strip("/"), (MethodView,), {"post": described}))
