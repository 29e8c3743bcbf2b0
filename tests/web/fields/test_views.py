"""The schemas that are made of views: names, units, and what an answer leaves out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any

import pytest
from cureyard_service.core.amounts.quantities import MASS
from cureyard_service.core.amounts.views import At, Called, LeftOut, Says, View
from cureyard_service.web.fields.views import answer
from flask.testing import FlaskClient


@dataclass(frozen=True)
class BandView(View):
    """A moment with its band, or why there is none."""

    opens: Annotated[float | None, At("up"), Called("from")]
    latest: Annotated[float | None, At("up"), LeftOut("opens")]
    weight: Annotated[int | None, LeftOut(), MASS, Says("Of all of it.")]
    why: Annotated[str | None, LeftOut()]


@pytest.mark.parametrize(
    ("view", "shown"),
    [
        (BandView(None, None, None, "too cold"), {"from": None, "why": "too cold"}),
        (BandView(0.5, None, None, None), {"from": "1970-01-01T01:00:01+01:00", "latest": None}),
        (
            BandView(0, 60, 2_000_000, None),
            {
                "from": "1970-01-01T01:00:00+01:00",
                "latest": "1970-01-01T01:01:00+01:00",
                "weight": {"value": 2.0, "unit": "kg"},
            },
        ),
    ],
)
def test_what_is_left_out_is_not_there(
    client: FlaskClient, view: BandView, shown: dict[str, Any]
) -> None:
    """Alone while it is None, or along with another; everything else is there, null or not."""
    with client.application.test_request_context():
        assert answer(BandView)().dump(view) == shown


def test_the_description_says_so() -> None:
    """What may be left out is not required; null is described only where it can be."""
    fields = answer(BandView)().fields
    assert answer(BandView).__name__ == "BandOut"
    assert fields["opens"].data_key == "from"
    assert {name for name, field in fields.items() if field.required} == {"opens"}
    assert {name for name, field in fields.items() if field.allow_none} == {"opens", "latest"}
    assert fields["weight"].metadata == {"description": "Of all of it."}
