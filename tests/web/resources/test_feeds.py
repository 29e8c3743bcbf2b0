"""Feeds: an address that shows a calendar and nothing else, told once, revoked, in no log.

OWASP API Security Top 10 (2023): API2 broken authentication, API3 broken object property level
authorization, API4 unrestricted resource consumption.
"""

from __future__ import annotations

import logging
from decimal import Decimal
from typing import Any

import pytest
from cureyard_service.acts.yard import feeds
from cureyard_service.store import tables
from cureyard_service.store.engine.database import db
from cureyard_service.web.context.throttle import MOST_A_MINUTE
from flask import Flask
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from ...acts import sample_yard as yard
from ..tokened import Known, given, one_of_each

FAR = {"REMOTE_ADDR": "192.0.2.7", "HTTP_HOST": "yard.example"}


@pytest.fixture(autouse=True)
def set_up(client: FlaskClient) -> None:
    """The acts' yard, with a layup in the shed and one in the tent."""
    yard.set_up()
    for bay, job in (("SHED", "D-7"), ("TENT", "S-1")):
        yard.laid(product="LAM", catalyst_percent=Decimal(2), bay=bay, job=job, title=bay)


def made(client: FlaskClient, known: Known | None = None, **of: str) -> tuple[int, str]:
    """A feed just made: its id, and the path of its address."""
    answer = client.post("/v1/feeds", json=of, headers=known.bearer if known else {})
    assert answer.status_code == 201, answer.text
    told = answer.json
    assert set(told) == {
        "id", "job", "bay", "made_at", "made_by", "revoked_at", "revoked_by", "reason", "address",
    }  # fmt: skip
    return told["id"], told["address"].partition("localhost")[2]


def shown(answer: TestResponse) -> set[str]:
    """Whose layups a calendar has."""
    assert (answer.status_code, answer.mimetype) == (200, "text/calendar")
    return {
        line.partition(":")[2].partition(":")[0].rpartition(" ")[2]
        for line in answer.text.splitlines()
        if line.startswith("SUMMARY")
    }


def test_of_a_job_a_bay_and_the_yard(client: FlaskClient) -> None:
    """The same calendar as the interface gives, to whoever has the address."""
    for of, titles in (
        ({"job": "D-7"}, {"SHED"}), ({"bay": "tent"}, {"TENT"}), ({}, {"SHED", "TENT"}),
        ({"job": "D-7", "bay": "TENT"}, set()),
    ):  # fmt: skip
        _, path = made(client, **of)
        assert shown(client.get(path)) == titles
        query = "&".join(f"{name}={value}" for name, value in of.items())
        assert client.get(path).data == client.get(f"/v1/calendar.ics?{query}").data
    assert client.head(path).status_code == 200


def test_the_yards_own_address_stands_in_it(client: FlaskClient) -> None:
    """A phone asks by the name that people reach the service by."""
    client.patch("/v1/yard", json={"address": "https://yard.example/"}, headers={"If-Match": "*"})
    told = client.post("/v1/feeds", json={}).json["address"]
    assert told.startswith("https://yard.example/calendar/cureyard_")


def test_with_a_login_no_token_is_needed_and_no_other_address_opens(client: FlaskClient) -> None:
    """The secret is good for its calendar alone, from anywhere; a token is no feed."""
    rui = given("Rui", "hand")
    _, path = made(client, rui, job="D-7")
    secret = path.removeprefix("/calendar/").removesuffix(".ics")
    assert shown(client.get(path, environ_overrides=FAR)) == {"SHED"}
    assert client.get("/v1/calendar.ics").status_code == 401
    for other in ("/v1/calendar.ics", "/v1/now", "/v1/feeds"):
        asked = client.get(other, headers={"Authorization": f"Bearer {secret}"})
        assert asked.status_code == 401
    assert client.get(f"/calendar/{rui.secret}.ics").status_code == 404
    for method in ("post", "put", "patch", "delete"):
        assert getattr(client, method)(path, headers=rui.bearer).status_code == 405


def test_without_a_login_only_this_machine_is_answered(client: FlaskClient) -> None:
    """A name of another site that was pointed here gets nothing, with the secret or without."""
    _, path = made(client)
    for strange in (FAR, {"HTTP_HOST": "evil.example"}, {"REMOTE_ADDR": "192.0.2.7"}):
        assert client.get(path, environ_overrides=strange).status_code == 403
    assert client.get(path, headers={"X-Forwarded-For": "192.0.2.7"}).status_code == 403


def test_revoked_is_gone(client: FlaskClient) -> None:
    """At once and for good; it stays on record, and the logbook has both."""
    ada, rui = given("Ada", "lead"), given("Rui", "hand")
    number, path = made(client, rui, job="D-7")
    body = {"reason": "the phone was lost"}
    told = client.post(f"/v1/feeds/{number}/revocation", json=body, headers=rui.bearer)
    assert (told.status_code, told.json["revoked_by"]) == (201, "Rui")
    assert client.get(path).status_code == 404
    again = client.post(f"/v1/feeds/{number}/revocation", json={}, headers=rui.bearer)
    assert again.status_code == 409
    (listed,) = client.get("/v1/feeds", headers=rui.bearer).json["items"]
    assert (listed["job"], listed["bay"], listed["reason"]) == ("D-7", None, "the phone was lost")
    entries = client.get("/v1/logbook", headers=ada.bearer).json["items"][:2]
    assert [(e["kind"], e["about"], e["reason"], e["who"]) for e in entries] == [
        ("calendar feed revoked", "feed 1 of job D-7", "the phone was lost", "Rui"),
        ("calendar feed made", "feed 1 of job D-7", None, "Rui"),
    ]


def test_who_may_revoke(client: FlaskClient) -> None:
    """One's own; a lead also another's."""
    people = one_of_each()
    other = given("Eva", "hand")
    number, _ = made(client, people["hand"])
    address = f"/v1/feeds/{number}/revocation"
    told = [
        client.post(address, json={}, headers=who.bearer).status_code
        for who in (people["viewer"], other, people["lead"])
    ]
    assert told == [403, 403, 201]
    assert client.post("/v1/feeds", json={}, headers=people["viewer"].bearer).status_code == 403
    assert client.post("/v1/feeds/99/revocation", json={}, headers=other.bearer).status_code == 404


@pytest.mark.parametrize(
    ("body", "status"),
    [({"job": "X-1"}, 422), ({"bay": "ATTIC"}, 422), ({"job": 7}, 422), ({"job": None}, 422),
     ({"name": "mine"}, 422), ({"secret": "cureyard_mine"}, 422)],
)  # fmt: skip
def test_what_is_no_feed_is_not_made(
    client: FlaskClient, body: dict[str, Any], status: int
) -> None:
    """And nothing that the service itself decides."""
    assert client.post("/v1/feeds", json=body).status_code == status
    assert tables.Feed.select().count() == 0


def test_guesses_are_slowed_down(client: FlaskClient) -> None:
    """As wrong tokens are, by the same count; the right one goes on beside them."""
    given("Ada", "lead")
    _feed, secret = feeds.add_feed(now=yard.NOW, hand=yard.HAND)
    path = f"/calendar/{secret}.ics"
    there, here = {"REMOTE_ADDR": "192.0.2.7"}, {"REMOTE_ADDR": "192.0.2.8"}
    for number in range(MOST_A_MINUTE):
        guess = client.get(f"/calendar/cureyard_{number}.ics", environ_overrides=there)
        assert guess.status_code == 404
    slowed = client.get("/calendar/cureyard_more.ics", environ_overrides=there)
    assert (slowed.status_code, int(slowed.headers["Retry-After"]) <= 60) == (429, True)
    for _ in range(MOST_A_MINUTE + 1):
        assert client.get(path, environ_overrides=there).status_code == 200
    assert client.get("/calendar/cureyard_more.ics", environ_overrides=here).status_code == 404


def test_a_retry_with_its_key_makes_no_second_feed(client: FlaskClient) -> None:
    """It hears that it was made; its address is in no kept answer."""
    key = {"Idempotency-Key": "a"}
    first, again = (client.post("/v1/feeds", json={}, headers=key) for _ in range(2))
    assert (first.status_code, again.status_code) == (201, 409)
    assert f"Number {first.json['id']} was made" in again.json["detail"]
    assert len(client.get("/v1/feeds").json["items"]) == 1
    secret = first.json["address"].rpartition("/")[2].removesuffix(".ics")
    assert secret.startswith("cureyard_")
    assert secret not in repr(db.execute_sql("SELECT * FROM answer").fetchall())


def test_a_secret_stands_in_no_row_log_or_problem(
    app: Flask, client: FlaskClient, caplog: pytest.LogCaptureFixture, monkeypatch: Any
) -> None:
    """Neither when it is made or revoked, nor mistyped, nor when the service fails over it."""
    caplog.set_level(logging.DEBUG)
    number, path = made(client)
    secret = path.removeprefix("/calendar/").removesuffix(".ics")
    answers = [
        client.get("/v1/feeds"), client.get("/v1/logbook"), client.get(path),
        client.get(path.replace(".ics", ".icx")), client.get(path + "/"),
    ]  # fmt: skip
    tables.Yard.delete().execute()  # the service fails over it
    answers.append(client.get(path))
    assert answers[-1].status_code == 500
    assert "/calendar/cureyard_…" in caplog.text
    logging.getLogger("waitress").warning("Exception while serving %s", path)
    answers.append(client.post(f"/v1/feeds/{number}/revocation", json={}))
    for told in [caplog.text, *(a.text + str(a.headers) for a in answers)]:
        assert secret not in told
    rows = [db.execute_sql(f'SELECT * FROM "{t}"').fetchall() for t in db.get_tables()]
    assert secret not in repr(rows)
