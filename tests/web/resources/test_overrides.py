"""The trail of overrides, over HTTP."""

from __future__ import annotations

from flask.testing import FlaskClient

from ... import makers
from ...putting import by_client


def test_an_override_leaves_its_trail_and_a_refusal_none(client: FlaskClient) -> None:
    """An expired lot drawn by a lead's word stands there with who, what and why."""
    _, _, lot = by_client(
        client, products=[makers.product("LAM", "resin")], jobs=[makers.job()],
        lots=[makers.lot(expires_on="2026-01-31")],
    )  # fmt: skip
    draw = makers.draw(product=None, lot=lot["id"])
    assert client.post("/v1/movements", json=draw).status_code == 409
    assert client.get("/v1/overrides").json["items"] == []
    drawn = client.post("/v1/movements", json={**draw, "override": {"reason": "a mould plug"}})
    assert drawn.status_code == 201
    (trail,) = client.get("/v1/overrides").json["items"]
    assert (trail["slug"], trail["reason"], trail["who"]) == ("expired-lot", "a mould plug", "Ines")
    assert (trail["lot"], trail["job"]) == (lot["id"], "D-7")
    assert trail["movement"] == drawn.json["movements"][0]["id"]
    assert client.delete("/v1/overrides").status_code == 405
