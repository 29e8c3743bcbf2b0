"""The trail of overrides, over HTTP."""

from __future__ import annotations

from flask.testing import FlaskClient


def test_an_override_leaves_its_trail_and_a_refusal_none(client: FlaskClient) -> None:
    """An expired lot drawn by a lead's word stands there with who, what and why."""
    client.post("/v1/products", json={"code": "LAM", "name": "Resin", "role": "resin"})
    lot = client.post(
        "/v1/lots",
        json={"product": "LAM", "number": "B-1", "quantity": "5 kg", "expires_on": "2026-01-31"},
    ).json
    client.post("/v1/jobs", json={"number": "D-7", "title": "Stem", "craft": "Teal"})
    draw = {"kind": "draw", "lot": lot["id"], "quantity": "1 kg", "job": "D-7"}
    assert client.post("/v1/movements", json=draw).status_code == 409
    assert client.get("/v1/overrides").json["items"] == []
    drawn = client.post("/v1/movements", json={**draw, "override": {"reason": "a mould plug"}})
    assert drawn.status_code == 201
    (trail,) = client.get("/v1/overrides").json["items"]
    assert (trail["slug"], trail["reason"], trail["who"]) == ("expired-lot", "a mould plug", "Ines")
    assert (trail["lot"], trail["job"]) == (lot["id"], "D-7")
    assert trail["movement"] == drawn.json["movements"][0]["id"]
    assert client.delete("/v1/overrides").status_code == 405
