"""A request that is sent again is done once.

By the draft 'The Idempotency-Key HTTP Header Field' of the HTTPAPI working group
(draft-ietf-httpapi-idempotency-key-header), its sections named beside the tests. Where it
leaves a choice: a key is not demanded; any visible ASCII will do, so also the quoted string of its
'Syntax'; a twin that comes while the first is being done waits for its answer.

OWASP API Security Top 10 (2023): API6 unrestricted access to sensitive business flows (a draw
can't be had twice by asking twice).
"""

from __future__ import annotations

import threading

import pytest
from cureyard_service.store import tables
from cureyard_service.store.engine.database import db
from cureyard_service.web.http.keys import KEPT_S
from flask import Flask
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from ...bare import holding
from ..conftest import Clock

TOY = {"number": "T-1", "title": "Cutter"}
OTHER = {"number": "T-2", "title": "Cutter"}


def post(client: FlaskClient, body: object, key: str) -> TestResponse:
    """Put a toy in under a key."""
    return client.post("/v1/toys", json=body, headers={"Idempotency-Key": key})


def test_a_retry_gets_the_first_answer(client: FlaskClient) -> None:
    """Status, body, Location and ETag are the first's, and only one toy is there.

    'Idempotency Enforcement Scenarios', a duplicate request.
    """
    first, second = (post(client, TOY, "a") for _ in range(2))
    assert first.status_code == second.status_code == 201
    assert first.data == second.data
    for name in ("Location", "ETag", "Content-Type"):
        assert first.headers[name] == second.headers[name]
    assert tables.Job.select().count() == 1


def test_another_body_under_the_key_is_refused(client: FlaskClient) -> None:
    """A key names one request: 422.

    'Idempotency Fingerprint' and 'Error Scenarios'.
    """
    post(client, TOY, "a")
    answer = post(client, OTHER, "a")
    assert answer.status_code == 422
    assert answer.json["type"].endswith("/problems/idempotency-conflict")
    assert tables.Job.select().count() == 1


def test_a_key_belongs_to_its_address(client: FlaskClient) -> None:
    """The same key at another address, or with another method, names another request."""
    post(client, TOY, "a")
    change = {"Idempotency-Key": "a", "If-Match": '"1"'}
    assert client.patch("/v1/toys/T-1", json={"title": "Yawl"}, headers=change).status_code == 200


def test_a_retried_change_gets_its_first_answer(client: FlaskClient) -> None:
    """Though its If-Match no longer holds, it was done, and that is what it hears."""
    post(client, TOY, "a")
    change = {"Idempotency-Key": "b", "If-Match": '"1"'}
    first, second = (
        client.patch("/v1/toys/T-1", json={"title": "Yawl"}, headers=change) for _ in range(2)
    )
    assert (first.status_code, second.status_code) == (200, 200)
    assert first.headers["ETag"] == second.headers["ETag"] == '"2"'


def test_a_refusal_is_judged_afresh(client: FlaskClient) -> None:
    """What was refused is not kept: once the way is free, the same request is done."""
    post(client, TOY, "a")
    assert post(client, TOY, "b").status_code == 409
    tables.Job.delete().execute()
    assert post(client, TOY, "b").status_code == 201


def test_a_fault_undoes_everything_and_keeps_nothing(client: FlaskClient) -> None:
    """What was written before the fault is gone, and so is the key."""
    answer = client.post("/v1/toys/broken/1", headers={"Idempotency-Key": "a"})
    assert answer.status_code == 500
    assert tables.Job.select().count() == 0
    assert tables.Answer.select().count() == 0


def test_without_a_key_a_request_is_a_new_one(client: FlaskClient) -> None:
    """The key is optional; without it the second is judged by what the first has done."""
    assert client.post("/v1/toys", json=TOY).status_code == 201
    assert client.post("/v1/toys", json=TOY).status_code == 409


@pytest.mark.parametrize("key", ["k" * 200, "!~", '"quoted"'])
def test_what_is_a_key_is_taken(client: FlaskClient, key: str) -> None:
    """Any visible ASCII will do, and so the quoted string of the draft's 'Syntax'."""
    assert post(client, TOY, key).status_code == 201


def test_a_retry_gets_its_answer_in_the_first_units(client: FlaskClient) -> None:
    """Whatever it asks for: its sentences can't be worded anew, and each amount says its unit."""
    body = {"code": "PEROX-9", "name": "Peroxide", "role": "catalyst", "density": "1.15 kg/L"}
    first, again = (
        client.post(f"/v1/products{asked}", json=body, headers={"Idempotency-Key": "a"})
        for asked in ("?units=metric", "?units=us")
    )
    assert first.json["density"]["unit"] == "kg/L"
    assert again.data == first.data


def test_an_answer_is_forgotten_after_its_time(client: FlaskClient, clock: Clock) -> None:
    """Thirty days on, the key is free again, and what it did stands in its way.

    'Idempotency Key Validity and Expiry'.
    """
    post(client, TOY, "a")
    clock.moment += KEPT_S + 1
    post(client, OTHER, "b")
    assert post(client, TOY, "a").status_code == 409


def test_twins_at_one_moment_are_one(app: Flask) -> None:
    """Eight hands press the same button at once: one toy, and eight times the same answer.

    'Idempotency Enforcement Scenarios', a concurrent request: waited for, in place of a 409.
    """
    start, answers = threading.Barrier(8), []

    def press() -> None:
        start.wait()
        answers.append(post(app.test_client(), TOY, "a"))
        db.close()

    hands = [threading.Thread(target=press) for _ in range(8)]
    for hand in hands:
        hand.start()
    for hand in hands:
        hand.join()
    assert [each.status_code for each in answers] == [201] * 8
    assert len({each.data for each in answers}) == 1
    assert tables.Job.select().count() == 1


def test_a_store_that_stays_locked_is_busy(client: FlaskClient) -> None:
    """Somebody else writes for longer than a hand should wait: 503, and when to try again.

    RFC 9110, 15.6.4 and 10.2.3.
    """
    with holding(db.obj):
        answer = post(client, TOY, "a")
    assert answer.status_code == 503
    assert int(answer.headers["Retry-After"]) >= 1
    assert answer.json["type"].endswith("/problems/busy")
    assert post(client, TOY, "a").status_code == 201
