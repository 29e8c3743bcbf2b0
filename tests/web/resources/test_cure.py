"""A cure sheet's milestones in a body: a text, or an object with a temperature of its own."""

from __future__ import annotations

from typing import Any

import pytest
from flask.testing import FlaskClient

from ... import makers

pytestmark = pytest.mark.only_on("sqlite")  # shapes are judged before the store is asked


def add(client: FlaskClient, opens: Any) -> Any:
    """A resin whose recoat window opens after that; what is answered."""
    client.post("/v1/products", json=makers.catalyst())
    cure = makers.sheet(milestones={"recoat_opens": opens})
    return client.post("/v1/products", json=makers.resin(cure=cure)).json


@pytest.mark.parametrize(
    ("opens", "ends"),
    [
        ("2 h", (2, 2)),
        ("2-4 h", (2, 4)),
        ({"time": "120 min"}, (2, 2)),
        ({"time": "2 h", "from": None, "to": None, "temperature": None}, (2, 2)),
        ({"from": "2 h", "to": "4 h", "temperature": "25 degC"}, (2, 4)),
    ],
)
def test_a_stage_is_a_time_or_a_range(
    client: FlaskClient, opens: Any, ends: tuple[float, float]
) -> None:
    """Alone, or in an object, where it may have a temperature."""
    made = add(client, opens)
    told = made["cure"]["sheets"][0]["milestones"]["recoat_opens"]
    found = tuple((told[name] or told["time"])["value"] for name in ("from", "to"))
    assert found == ends
    heat = told["temperature"]
    assert (heat and heat["value"]) == (25 if "25 degC" in str(opens) else None)


@pytest.mark.parametrize(
    ("opens", "pointer"),
    [
        ("2", ""),
        ("4-2 h", ""),
        ([], ""),
        ({}, ""),
        ({"from": "2 h"}, ""),
        ({"time": "2 h", "from": "2 h", "to": "4 h"}, ""),
        ({"time": 2}, "/time"),
        ({"time": None}, ""),
        ({"time": "2 h", "heat": "25 degC"}, "/heat"),
    ],
)
def test_a_stage_is_nothing_else(client: FlaskClient, opens: Any, pointer: str) -> None:
    """Half a range, two times, a number without a unit; no name is passed over."""
    told = add(client, opens)
    assert told["status"] == 422
    assert told["pointer"] == f"/cure/0/milestones/recoat_opens{pointer}"


def test_an_unknown_field_is_told_the_names_that_a_request_has(client: FlaskClient) -> None:
    """Not those that the program has for them."""
    told = add(client, {"since": "2 h"})
    assert told["advice"] == "Fields here: time, from, to, temperature."
