"""The logbook over HTTP: it is read, in pages, and nothing that is sent can edit it."""

from __future__ import annotations

import pytest
from cureyard_service.store import tables
from flask.testing import FlaskClient

from ... import makers
from ...putting import by_client


@pytest.fixture
def client(client: FlaskClient) -> FlaskClient:
    """Somebody who held a lot, let it go, and held it again."""
    by_client(client, products=[makers.product("LAM", "resin")], lots=[makers.lot()])
    for number, held in enumerate((True, False, True), 1):
        body = {"held": held, "reason": f"reason {number}"}
        answer = client.patch("/v1/lots/1", json=body, headers={"If-Match": "*"})
        assert answer.status_code == 200, answer.text
    return client


def test_it_is_read_newest_first_page_by_page(client: FlaskClient) -> None:
    """Each entry once, with what it is about, why, and who."""
    seen, address = [], "/v1/logbook?limit=2"
    while address:
        page = client.get(address).json
        seen += page["items"]
        address = page["next"] and f"/v1/logbook?limit=2&after={page['next']}"
    assert [(e["kind"], e["reason"]) for e in seen] == [
        ("held", "reason 3"), ("released", "reason 2"), ("held", "reason 1"),
    ]  # fmt: skip
    assert {(e["about"], e["who"], e["verified"]) for e in seen} == {
        ("lot B-1/1 (LAM)", "Ines", False)
    }


def test_a_refused_hold_leaves_no_entry(client: FlaskClient) -> None:
    """An entry is part of what it tells of, and undone with it."""
    before = tables.LogbookEntry.select().count()
    for body in ({"held": False}, {"held": True, "reason": "x", "bay": "NOWHERE"}):
        answer = client.patch("/v1/lots/1", json=body, headers={"If-Match": "*"})
        assert answer.status_code == 422
    assert tables.LogbookEntry.select().count() == before


@pytest.mark.parametrize("method", ["POST", "PUT", "PATCH", "DELETE"])
@pytest.mark.parametrize(("address", "status"), [("/v1/logbook", 405), ("/v1/logbook/1", 404)])
def test_nothing_edits_it(client: FlaskClient, method: str, address: str, status: int) -> None:
    """There is no address that would."""
    before = list(tables.LogbookEntry.select().tuples())
    body = {"kind": "held", "about": "lot 1", "reason": "another"}
    answer = client.open(address, method=method, json=body, headers={"If-Match": "*"})
    assert answer.status_code == status
    assert list(tables.LogbookEntry.select().tuples()) == before
