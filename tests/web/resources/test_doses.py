"""Doses over the wire: which partner, how much peroxide, in which air."""

from __future__ import annotations

import pytest
from flask.testing import FlaskClient

from ... import makers
from ...putting import by_client, post

pytestmark = pytest.mark.only_on("sqlite")  # nothing here rests on what a database does

DOSE = makers.dose()
NINE = {"active_oxygen_percent": 9, "peroxide_type": "MEKP"}
CATALOGUE = [
    makers.catalyst("KP90", **NINE),
    makers.catalyst("KP50", **{**NINE, "active_oxygen_percent": 5}),
    makers.resin(cure=makers.sheet("KP90", "KP50", **NINE)),
]
READ = {"readings": [{"at": "2026-03-20T09:36:40Z", "temperature": "18 degC"}]}


@pytest.fixture
def yard(client: FlaskClient) -> FlaskClient:
    """A resin whose sheet holds with two peroxides, and two bays."""
    by_client(client, products=CATALOGUE, bays=[makers.bay("SHED"), makers.bay("TENT")])
    post(client, "bays/SHED/readings", READ)
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


def test_a_bag_takes_time(yard: FlaskClient) -> None:
    """None of its three times is nothing: common practice, no source."""
    bag = {"laying": "0 min", "bagging": "0 min", "pumping": "0 min"}
    told = post(yard, "doses", {**DOSE, "catalyst": "KP90", "bag": bag}, 422)
    assert {each["pointer"] for each in told["errors"]} == {
        "/bag/laying", "/bag/bagging", "/bag/pumping",
    }  # fmt: skip
