"""A store with years of rows is asked as few questions as a new one, and none reads it all."""

from __future__ import annotations

from typing import Any

import pytest
from cureyard_service.store.database import db
from flask import Flask
from flask.testing import FlaskClient

from ..acts import yard
from ..bench import plans

pytestmark = pytest.mark.only_on("sqlite")

DRAW = {"kind": "draw", "product": "LAM", "quantity": "10 g", "job": "D-7"}
DOSE = {"resin": "LAM", "amount": "100 g", "temperature": "20 degC", "catalyst_percent": 2}
POT = {**DOSE, "job": "D-7"}
LAYUP = {"job": "D-7", "title": "Plies", "kind": "laminate", "bay": "SHED"}
PAGES = (
    "/", "/layups/1",
    "/jobs", "/jobs/D-7", "/jobs/D-7/cuts", "/lots", "/lots/1", "/products", "/products/LAM",
)  # fmt: skip

ASKED: list[tuple[str, str, dict[str, Any] | None]] = [
    ("POST", "/v1/movements", DRAW),
    ("POST", "/v1/batches", POT),
    ("POST", "/v1/doses", DOSE),
    ("GET", "/v1/now", None),
    ("GET", "/v1/calendar.ics", None),
    ("GET", "/v1/milestones?seconds=0", None),
    ("GET", "/v1/shopping", None),
    ("GET", "/v1/jobs/D-7/usage", None),
    ("GET", "/v1/lots/1/trace", None),
    ("GET", "/v1/products?limit=2", None),
    *(("GET", page, None) for page in PAGES),
    ("GET", "/v1/movements?limit=5", None),
    ("GET", "/v1/movements?limit=5&job=D-7", None),
    ("GET", "/v1/batches?limit=1", None),
    ("GET", "/v1/entries/last", None),
    ("GET", "/v1/lots?limit=2", None),
    ("GET", "/v1/lots/1", None),
    ("GET", "/v1/lots/1/label.svg", None),
    ("GET", "/v1/batches/1", None),
    ("GET", "/v1/jobs?limit=2", None),
    ("GET", "/v1/jobs/D-7", None),
    ("GET", "/v1/products/LAM", None),
]


@pytest.fixture
def stocked(app: Flask, client: FlaskClient) -> FlaskClient:
    """The service on the acts' yard, with resin and peroxide from which something was taken."""
    yard.set_up()
    yard.stocked()
    yard.receive("MICROS", "1 kg")
    want(client, "D-7", "MAT", "4 m")
    work(client)
    return client


def want(client: FlaskClient, job: str, product: str, quantity: str) -> None:
    """What a job will take, of which the store has none."""
    needs = {"needs": [{"product": product, "quantity": quantity}]}
    assert client.post(f"/v1/jobs/{job}/needs", json=needs).status_code == 201


def work(client: FlaskClient) -> None:
    """A few draws, and pots that were laid up."""
    for _ in range(6):
        assert client.post("/v1/movements", json=DRAW).status_code == 201
        pot = client.post("/v1/batches", json=POT)
        assert pot.status_code == 201
        laid = client.post("/v1/layups", json=LAYUP | {"batches": [pot.json["id"]]})
        assert laid.status_code == 201


def years(client: FlaskClient) -> None:
    """Jobs done and closed, lots used up, and more of what is done every day."""
    for number in range(10):
        client.post("/v1/jobs", json={"number": f"X-{number}", "title": "Keel", "craft": "Wren"})
        client.patch(f"/v1/jobs/X-{number}", json={"state": "closed"}, headers={"If-Match": "*"})
        lot = yard.receive("MICROS", "1 kg")
        used = {"kind": "draw", "lot": lot.id, "quantity": "all", "job": "D-7"}
        assert client.post("/v1/movements", json=used).status_code == 201
    for number, (product, quantity) in enumerate((("MAT", "2 m"), ("PLY-4", "3 pieces")) * 2):
        client.post("/v1/jobs", json={"number": f"N-{number}", "title": "Rib", "craft": "Wren"})
        want(client, f"N-{number}", product, quantity)
    work(client)


def statements(client: FlaskClient, asked: tuple[str, str, Any]) -> list[str]:
    """What a request asks of the database."""
    method, path, body = asked
    told: list[str] = []
    db.connection().set_trace_callback(told.append)
    answer = client.open(path, method=method, json=body)
    db.connection().set_trace_callback(None)
    assert answer.status_code < 300, answer.json
    return told


@pytest.mark.parametrize("asked", ASKED, ids=lambda asked: " ".join(asked[:2]))
def test_as_few_queries_after_years(stocked: FlaskClient, asked: tuple[str, str, Any]) -> None:
    """Each endpoint asks as many questions of a store that has grown as of a young one."""
    statements(stocked, asked)  # what is first in a process may ask more
    young = statements(stocked, asked)
    years(stocked)
    old = statements(stocked, asked)
    assert len(old) == len(young), "\n".join(old)


@pytest.mark.parametrize("asked", ASKED[:4], ids=lambda asked: " ".join(asked[:2]))
def test_as_few_queries_of_a_full_shelf(stocked: FlaskClient, asked: tuple[str, str, Any]) -> None:
    """Drums beside the one that it comes from are looked at together, not one by one."""
    statements(stocked, asked)
    bare = statements(stocked, asked)
    for product in ("LAM", "PEROX", "MICROS") * 4:
        yard.receive(product, "1 kg")
    full = statements(stocked, asked)
    assert len(full) == len(bare), "\n".join(full)


@pytest.mark.parametrize("asked", ASKED[:4], ids=lambda asked: " ".join(asked[:2]))
def test_no_query_reads_a_ledger_through(stocked: FlaskClient, asked: tuple[str, str, Any]) -> None:
    """A draw, a pot, a dose and 'now' find what they want by an index."""
    for sql in statements(stocked, asked):
        assert not plans.scans(db.execute_sql, sql), sql
