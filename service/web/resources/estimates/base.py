"""The address of all estimates, and the base of their bodies."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from marshmallow import post_load

from ...fields.schemas import Body
from ...http.blueprint import Blueprint

blp = Blueprint(
    "estimates", __name__, url_prefix="/v1/estimates", description="Sums of a repair; not kept."
)


class SumIn(Body):
    """A body whose exact numbers load to floats: an estimate is a sum, and nothing is booked."""

    @post_load
    def to_floats(self, body: dict[str, Any], **_options: Any) -> Any:
        """The body with a float for each `Decimal` in it."""
        return _floats(body)


def _floats(value: Any) -> Any:
    if isinstance(value, dict):
        return {name: _floats(each) for name, each in value.items()}
    if isinstance(value, list):
        return [_floats(each) for each in value]
    return float(value) if isinstance(value, Decimal) else value
