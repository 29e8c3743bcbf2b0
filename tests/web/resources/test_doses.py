"""Doses over the wire: which partner, how much peroxide, in which air."""

from __future__ import annotations

from typing import Any

import pytest
from flask.testing import FlaskClient

from ..small_yard import BAY, CURE

pytestmark = pytest.mark.only_on("sqlite")  # nothing here rests on what a database does

DOSE = {"resin": "LAM", "amount": "1 kg", "temperature": "20 degC", "catalyst_percent": 2}
SEED: tuple[tuple[str, dict[str, Any]], ...] = (
    ("products", {"code": "KP90", "name": "9 %", "role": "catalyst", "active_oxygen_percent": 9,
                  "peroxide_type": "MEKP"}),
    ("products", {"code": "KP50", "name": "5 %", "role": "catalyst", "active_oxygen_percent": 5,
                  "peroxide_type": "MEKP"}),
    ("products", {"code": "LAM", "name": "Resin", "role": "resin", "cure": {
        **CURE, "with": ["KP90", "KP50"], "active_oxygen_percent": 9, "peroxide_type": "MEKP"}}),
    ("bays", {**BAY, "code": "SHED"}),
    ("bays", BAY),
    ("bays/SHED/readings", {
        "readings": [{"at": "2026-03-20T09:36:40Z", "temperature": "18 degC"}]}),
)  # fmt: skip


@pytest.fixture
def yard(client: FlaskClient) -> FlaskClient:
    """A resin whose sheet holds with two peroxides, and two bays."""
    for noun, body in SEED:
        response = client.post(f"/v1/{noun}", json=body)
        assert response.status_code == 201, response.text
    return client


def test_a_partner_that_nobody_named(yard: FlaskClient) -> None:
    """422, with the names for a program and for a person, and where one belongs."""
    told = yard.post("/v1/doses", json=DOSE)
    assert told.status_code == 422
    problem = told.json or {}
    assert problem["type"].endswith("/partner-missing")
    assert (problem["partners"], problem["pointer"]) == (["KP90", "KP50"], "/catalyst")
    assert "KP90, KP50" in problem["advice"]


def test_too_much_of_a_weak_peroxide(yard: FlaskClient) -> None:
    """422, with the greatest percent and what would do."""
    told = yard.post("/v1/doses", json={**DOSE, "catalyst": "KP50", "catalyst_percent": 5})
    assert told.status_code == 422
    problem = told.json or {}
    assert problem["type"].endswith("/peroxide-limit")
    assert problem["greatest"] == 4
    assert "KP90" in problem["advice"]
    assert "warm the bay" in problem["advice"]


def test_bay_and_resin_temperature_together(yard: FlaskClient) -> None:
    """The temperature doses; what the bay is taken to be, and what was read, stands beside it."""
    asked = {**DOSE, "catalyst": "KP90", "bay": "SHED"}
    basis = (yard.post("/v1/doses", json=asked).json or {})["basis"]
    assert basis["temperature"] == {"value": 20, "unit": "degC"}
    assert basis["temperature_basis"] == "given"
    air = basis["air"]
    assert (air["bay"], air["basis"]) == ("SHED", "measured")
    assert air["read"]["temperature"] == {"value": 18, "unit": "degC"}
