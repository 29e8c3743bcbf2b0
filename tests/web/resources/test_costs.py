"""What a receipt cost, on the wire: of the whole, by the unit, and by its old name."""

from __future__ import annotations

from typing import Any

import pytest
from flask.testing import FlaskClient

from ... import makers
from ...putting import by_client

MONEY = {"amount": 92, "currency": "EUR"}
PRICE = {"amount": 4.6, "currency": "EUR", "per": "kg"}


@pytest.fixture
def yard(client: FlaskClient) -> FlaskClient:
    """A yard with a resin in its catalogue."""
    by_client(client, products=[makers.hardener(), makers.epoxy("LAM", density="1.1 kg/L")])
    return client


def received(client: FlaskClient, number: str, **facts: Any) -> Any:
    """What a drum of 20 kg is answered with."""
    return client.post("/v1/lots", json=makers.lot(number=number, **facts))


def test_a_drum_of_20_kg_at_4_60_a_kilogram_cost_92(yard: FlaskClient) -> None:
    """Said of the whole, by its old name, or by the unit, with or without the yard's currency."""
    bare = {"amount": 4.6, "per": "1 kg"}
    for number, facts in enumerate(
        ({"cost": MONEY}, {"unit_cost": MONEY}, {"cost_per": PRICE}, {"cost_per": bare})
    ):
        told = received(yard, f"B-{number}", **facts)
        assert (told.status_code, told.json["cost"]) == (201, MONEY), told.json


@pytest.mark.parametrize(
    ("facts", "slug", "pointer"),
    [
        ({"cost": MONEY, "unit_cost": MONEY}, "validation", "/unit_cost"),
        ({"cost": MONEY, "cost_per": PRICE}, "validation", "/cost_per"),
        ({"unit_cost": MONEY, "cost_per": PRICE}, "validation", "/cost_per"),
        ({"cost_per": {**PRICE, "per": "firkin"}}, "unit-mismatch", "/cost_per/per"),
        ({"cost_per": {**PRICE, "per": "oz"}}, "unit-mismatch", "/cost_per/per"),
        ({"cost_per": {**PRICE, "per": "0 kg"}}, "validation", "/cost_per/per"),
        ({"cost_per": {"amount": 4.6}}, "validation", "/cost_per/per"),
    ],
)
def test_what_can_not_be_is_refused(
    yard: FlaskClient, facts: dict[str, Any], slug: str, pointer: str
) -> None:
    """Where it is wrong, and nothing is received."""
    told = received(yard, "B-1", **facts)
    assert told.status_code == 422
    assert (told.json["type"].rsplit("/", 1)[-1], told.json["pointer"]) == (slug, pointer)
    assert yard.get("/v1/lots").json["items"] == []


def test_the_description_says_which_is_of_what(yard: FlaskClient) -> None:
    """A person who reads 'unit_cost' is told that it never was one."""
    told = yard.get("/openapi.json").json["components"]["schemas"]["LotIn"]["properties"]
    assert "whole receipt" in told["cost"]["description"]
    assert "unit" in told["cost_per"]["description"]
    assert "old name" in told["unit_cost"]["description"]
    assert told["unit_cost"]["deprecated"] is True


def test_bare_ounces_of_a_liquid_are_refused_at_every_door(yard: FlaskClient) -> None:
    """Received, drawn, counted, needed, dosed, imported: 'fl oz' or 'oz by weight'."""
    assert received(yard, "B-1").status_code == 201
    can = {"product": "HARD", "number": "H-1", "quantity": "5 kg"}
    assert yard.post("/v1/lots", json=can).status_code == 201
    job = {"number": "J-1", "title": "Stem", "craft": "Teal"}
    assert yard.post("/v1/jobs", json=job).status_code == 201
    ounces = {"quantity": "20 oz"}
    for path, body in (
        ("/v1/lots", {"product": "LAM", "number": "B-2", **ounces}),
        ("/v1/movements", {"kind": "draw", "product": "LAM", "job": "J-1", **ounces}),
        ("/v1/movements", {"kind": "scrap", "lot": 1, "reason": "wet", **ounces}),
        ("/v1/movements", {"kind": "count", "lot": 1, **ounces}),
        ("/v1/movements", {"kind": "return", "lot": 1, "job": "J-1", **ounces}),
        ("/v1/jobs/J-1/needs", {"needs": [{"product": "LAM", **ounces}]}),
        ("/v1/doses", {"resin": "LAM", "amount": "20 oz", "temperature": "20 degC"}),
        (
            "/v1/batches",
            {"resin": "LAM", "amount": "20 oz", "temperature": "20 degC", "job": "J-1"},
        ),
        (
            "/v1/lots/1/cup-tests",
            {"catalyst_lot": 2, "mass": "4 oz", "temperature": "20 degC", "gel_times": ["20 min"]},
        ),
        (
            "/v1/estimates/pots",
            {
                "resin": "LAM",
                "amount": "20 kg",
                "temperature": "20 degC",
                "spread": "20 oz",
                "spread_time": "5 min",
            },
        ),
        (
            "/v1/products",
            {"code": "LAM-2", "name": "Resin", "role": "resin", "reorder_at": "20 oz"},
        ),
        (
            "/v1/products",
            {"code": "ACT", "name": "Catalyst", "role": "catalyst", "reorder_at": "20 oz"},
        ),
    ):
        told = yard.post(path, json=body)
        assert told.status_code == 422, told.json
        assert "is a liquid" in told.json["detail"], told.json
        field = told.json["pointer"].rsplit("/", 1)[-1]
        assert field in ("quantity", "amount", "mass", "spread", "reorder_at")
        assert "'fl oz'" in told.json["advice"]
        assert "'oz by weight'" in told.json["advice"]
    for text in ("20 fl oz", "20 oz by weight"):
        body = {"kind": "draw", "product": "LAM", "job": "J-1", "quantity": text}
        assert yard.post("/v1/movements", json=body).status_code == 201
