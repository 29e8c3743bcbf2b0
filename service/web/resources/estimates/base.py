"""The blueprint that all estimates share."""

from __future__ import annotations

from ...http.blueprint import Blueprint

blp = Blueprint(
    "estimates",
    __name__,
    url_prefix="/v1/estimates",
    description="Sums of a repair; nothing is kept.",
)
