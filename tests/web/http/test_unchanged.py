"""A change that changes nothing leaves the version, and so the ETag, as it was.

RFC 9110, 8.8.1: a validator changes with the representation; who sends the same values again has
not made anybody's copy stale.
"""

from __future__ import annotations

from typing import Any

import pytest
from cureyard_service.store import tables
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from .test_hostile import RIGHT

SHEETS = next(body["cure"] for _, _, body in RIGHT if "cure" in body)
CHANGES: tuple[tuple[str, dict[str, Any], dict[str, Any]], ...] = (
    ("/v1/yard", {"zone": "Europe/Lisbon", "units": "metric", "sureness": 95}, {"sureness": 96}),
    ("/v1/products/LAM-PE", {"name": "Lam", "density": "1.12 kg/L", "shelf_life": "90 d",
                             "storage_max": "24 degC", "effects": ["promotes"]}, {"name": "Lay"}),
    ("/v1/products/LAM-PE", {"cure": SHEETS}, {"cure_change": {"pot_max": "1 kg"}}),
    ("/v1/bays/SHED", {"title": "Shed", "uncertainty": "1.5 K", "gap_max": "3 h",
                       "checked_on": "2026-03-01"}, {"gap_max": "2 h"}),
    ("/v1/bays/SHED", {"night": "17 degC", "day_from": "06:30"}, {"night": "16.9 degC"}),
    ("/v1/lots/1", {"bay": "SHED", "opened_on": "2026-03-20"}, {"bay": "TENT"}),
    ("/v1/lots/1", {"held": True, "reason": "cloudy"}, {"held": True, "reason": "lumpy"}),
    ("/v1/lots/2", {"expires_on": "2026-11-30", "reason": "misread"},
     {"expires_on": "2026-11-29", "reason": "misread"}),
    ("/v1/jobs/26-014", {"title": "Keel bolts", "structural": "no"}, {"craft": "the ketch Teal"}),
    ("/v1/layups/1", {"title": "Plies 1 to 4", "cover": "peel_ply"}, {"cover": "none"}),
    ("/v1/layups/1", {"bay": "SHED"}, {"bay": "TENT"}),
)  # fmt: skip
"""Address, a change to make twice, and another that then makes a difference."""


@pytest.fixture
def made(client: FlaskClient) -> FlaskClient:
    """A service with a day's work in it, and a second bay."""
    tent = {"code": "TENT", "title": "Tent", "day": "22 degC", "night": "18 degC",
            "day_from": "07:00", "day_until": "19:00"}  # fmt: skip
    for method, where, body in (*RIGHT, ("post", "/v1/bays", tent)):
        answer = client.open(where, method=method, json=body, headers={"If-Match": "*"})
        assert answer.status_code in (200, 201), answer.text
    return client


def changed(client: FlaskClient, where: str, body: dict[str, Any]) -> TestResponse:
    """A change that went well."""
    answer = client.patch(where, json=body, headers={"If-Match": "*"})
    assert answer.status_code == 200, answer.text
    assert client.get(where).headers["ETag"] == answer.headers["ETag"]
    return answer


@pytest.mark.parametrize(("where", "body", "other"), CHANGES)
def test_the_same_again_keeps_the_etag(
    made: FlaskClient, where: str, body: dict[str, Any], other: dict[str, Any]
) -> None:
    """And writes no row: neither in a history nor in the logbook. What differs raises it."""
    first = changed(made, where, body)
    rows = {model: model.select().count() for model in tables.MODELS}
    again = changed(made, where, body)
    assert again.headers["ETag"] == first.headers["ETag"]
    assert {model: model.select().count() for model in tables.MODELS} == rows
    assert changed(made, where, other).headers["ETag"] != first.headers["ETag"]


@pytest.mark.parametrize("where", sorted({where for where, _, _ in CHANGES}))
def test_nothing_at_all_keeps_it_too(made: FlaskClient, where: str) -> None:
    """An empty change."""
    before = made.get(where).headers["ETag"]
    assert changed(made, where, {}).headers["ETag"] == before
