"""A request that is sent again is done once."""

from __future__ import annotations

from cureyard_service.store import tables
from flask.testing import FlaskClient

TOY = {"number": "T-1", "title": "Cutter"}


def test_a_retry_gets_the_first_answer(client: FlaskClient) -> None:
    """Status, body, Location and ETag are the first's, and only one toy is there."""
    first, second = (
        client.post("/v1/toys", json=TOY, headers={"Idempotency-Key": "a"}) for _ in range(2)
    )
    assert first.status_code == second.status_code == 201
    assert first.data == second.data
    for name in ("Location", "ETag", "Content-Type"):
        assert first.headers[name] == second.headers[name]
    assert tables.Job.select().count() == 1
