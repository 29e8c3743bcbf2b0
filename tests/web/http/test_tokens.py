"""Tokens over HTTP: shown once, kept as hashes, proven names, revoked, slowed down when wrong.

OWASP API Security Top 10 (2023): API2 broken authentication, API3 broken object property level
authorization (no answer but the first has a secret in it).
"""

from __future__ import annotations

import logging
import re
from ipaddress import ip_address
from typing import Any

import pytest
from cureyard_service.store import tables
from cureyard_service.store.engine.database import db
from cureyard_service.web.app import create_app
from cureyard_service.web.context.settings import Settings
from cureyard_service.web.context.throttle import MOST_A_MINUTE
from flask import Flask
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from ...bench import plans
from ..conftest import Clock
from ..tokened import Known, database_of, given

TOY = {"number": "T-1", "title": "Cutter"}


@pytest.fixture
def admin(client: FlaskClient) -> Known:
    """An admin, whose token was made on the store itself."""
    return given("Ada", "admin")


def slug_of(answer: TestResponse) -> str:
    """The last part of a problem's type."""
    slug: str = answer.json["type"].rpartition("/")[2]
    return slug


def everything_kept() -> str:
    """Every row of every table, as text."""
    return repr([list(model.select().tuples()) for model in tables.MODELS])


def test_the_first_token_is_not_made_over_http(client: FlaskClient) -> None:
    """Where nobody has to log in, a program of the machine could shut its people out."""
    answer = client.post("/v1/tokens", json={"name": "Rui", "role": "admin"})
    assert (answer.status_code, slug_of(answer)) == (403, "not-allowed")
    assert "cureyard token add" in answer.json["advice"]
    assert client.get("/v1/toys").status_code == 200


def test_once_there_is_a_token_everybody_shows_one(client: FlaskClient, admin: Known) -> None:
    """RFC 9110, 11.6.1: a 401 says how to log in."""
    answer = client.get("/v1/toys")
    assert (answer.status_code, slug_of(answer)) == (401, "not-authenticated")
    assert answer.headers["WWW-Authenticate"].startswith("Bearer")
    assert client.get("/v1/toys", headers=admin.bearer).status_code == 200


def test_login_stays_on_when_the_last_token_is_revoked(client: FlaskClient, admin: Known) -> None:
    """A yard that closes its only door does not become an open one."""
    revoked = client.post(f"/v1/tokens/{admin.id}/revocation", json={}, headers=admin.bearer)
    assert revoked.status_code == 201
    assert client.get("/v1/toys", headers=admin.bearer).status_code == 401
    assert client.get("/v1/toys").status_code == 401


def test_a_secret_is_shown_once_and_kept_nowhere(client: FlaskClient, admin: Known) -> None:
    """Not in a list, not in what a retry would be answered with, in no row of the store."""
    headers = {**admin.bearer, "Idempotency-Key": "a"}
    made = client.post("/v1/tokens", json={"name": "Rui", "role": "hand"}, headers=headers)
    assert made.status_code == 201
    secret = made.json["token"]
    assert len(secret) >= len("cureyard_") + 43  # 256 bits, 6 a character
    listed = client.get("/v1/tokens", headers=admin.bearer)
    assert [each["name"] for each in listed.json["items"]] == ["Rui", "Ada"]
    assert secret not in listed.text
    kept = everything_kept()
    assert secret not in kept
    assert admin.secret not in kept


def test_a_retry_with_its_key_makes_no_second_token(client: FlaskClient, admin: Known) -> None:
    """It hears that it was made, and what to do where the first answer is lost."""
    headers = {**admin.bearer, "Idempotency-Key": "a"}
    body = {"name": "Rui", "role": "hand"}
    made = client.post("/v1/tokens", json=body, headers=headers)
    for again in (client.post("/v1/tokens", json=body, headers=headers) for _ in range(2)):
        assert again.status_code == 409
        assert again.json["type"].endswith("/problems/already-exists")
        assert f"Number {made.json['id']} was made" in again.json["detail"]
        assert "revoke" in again.json["advice"]
        assert made.json["token"] not in again.text
    other = client.post("/v1/tokens", json=body | {"role": "admin"}, headers=headers)
    assert other.status_code == 422
    assert len(client.get("/v1/tokens", headers=admin.bearer).json["items"]) == 2


def test_two_tokens_are_never_alike(client: FlaskClient, admin: Known) -> None:
    """Each is drawn anew, for the same person too."""
    secrets = {
        client.post("/v1/tokens", json={"name": "Rui", "role": "hand"}, headers=admin.bearer).json[
            "token"
        ]
        for _ in range(8)
    }
    assert len(secrets) == 8


def test_the_name_beside_what_is_done_is_the_tokens(client: FlaskClient, admin: Known) -> None:
    """Verified, whatever name the request gives itself."""
    rui = given("Rui", "hand")
    bay = {"code": "SHED", "title": "Shed", "day": "20 degC", "night": "14 degC",
           "day_from": "07:00", "day_until": "18:00"}  # fmt: skip
    client.post("/v1/bays", json=bay, headers=admin.bearer)
    named = {**rui.bearer, "Cureyard-Hand": "Somebody%20else"}
    reading = {"readings": [{"at": "2026-03-20T09:00:00Z", "temperature": "19 degC"}]}
    answer = client.post("/v1/bays/SHED/readings", json=reading, headers=named)
    assert answer.status_code == 201, answer.text
    row = tables.Reading.get()
    assert (row.who, row.verified) == ("Rui", True)


@pytest.mark.parametrize(
    "shown",
    ["", "Bearer", "Bearer ", "bearer x", "Basic QWRhOng=", "Bearer a b", "Token {secret}",
     "{secret}", "Bearer {secret}x", "Bearer {secret}, Bearer {secret}", "Bearer \xff",
     "Bearer " + "x" * 5000],
)  # fmt: skip
def test_what_is_no_known_token_is_nobody(client: FlaskClient, admin: Known, shown: str) -> None:
    """Another scheme, half a token, two tokens, rubbish."""
    header = shown.replace("{secret}", admin.secret)
    answer = client.get("/v1/toys", headers={"Authorization": header})
    assert (answer.status_code, slug_of(answer)) == (401, "not-authenticated")


def test_a_hash_from_the_store_is_no_token(client: FlaskClient, admin: Known) -> None:
    """Nor is the pass that a browser keeps: whoever has read the store is let in by neither."""
    row = tables.Token.get()
    for stolen in (row.secret_hash, row.page_hash):
        assert (
            client.get("/v1/toys", headers={"Authorization": f"Bearer {stolen}"}).status_code == 401
        )


def test_a_token_in_an_address_is_refused(client: FlaskClient, admin: Known) -> None:
    """There it would stand in histories and logs; the answer does not repeat it."""
    for address in (f"/v1/toys?token={admin.secret}", f"/v1/toys?access_token={admin.secret}"):
        answer = client.get(address)
        assert answer.status_code == 401
        assert admin.secret not in answer.text


def test_revoking_is_for_good(client: FlaskClient, admin: Known) -> None:
    """It stays on record, with who and why; a second time there is nothing to revoke."""
    rui = given("Rui", "hand")
    body = {"reason": "the phone was lost"}
    address = f"/v1/tokens/{rui.id}/revocation"
    gone = client.post(address, json=body, headers=admin.bearer)
    assert (gone.json["revoked_by"], gone.json["reason"]) == ("Ada", "the phone was lost")
    assert client.get("/v1/toys", headers=rui.bearer).status_code == 401
    assert client.post(address, json=body, headers=admin.bearer).status_code == 409
    assert client.post("/v1/tokens/77/revocation", json={}, headers=admin.bearer).status_code == 404
    told = client.get("/v1/logbook", headers=admin.bearer).json["items"][0]
    assert (told["kind"], told["about"], told["reason"], told["who"], told["verified"]) == (
        "token revoked", f"token {rui.id} of Rui (hand)", "the phone was lost", "Ada", True,
    )  # fmt: skip


@pytest.mark.parametrize(
    "body",
    [{}, {"name": "Rui"}, {"role": "hand"}, {"name": "Rui", "role": "owner"},
     {"name": "Rui", "role": None}, {"name": "", "role": "hand"}, {"name": "---", "role": "hand"},
     {"name": "a\nb", "role": "hand"}, {"name": "x" * 65, "role": "hand"},
     {"name": "Rui", "role": "hand", "token": "mine"}, {"name": "Rui", "role": "hand", "id": 1}],
)  # fmt: skip
def test_what_is_no_token_is_not_made(
    client: FlaskClient, admin: Known, body: dict[str, Any]
) -> None:
    """A name and a role, and nothing that the service itself decides."""
    before = tables.Token.select().count()
    assert client.post("/v1/tokens", json=body, headers=admin.bearer).status_code == 422
    assert tables.Token.select().count() == before


def test_keys_of_two_people_are_two(client: FlaskClient, admin: Known) -> None:
    """One hand's key never brings another's answer."""
    rui, eva = given("Rui", "hand"), given("Eva", "hand")
    first = client.post("/v1/toys", json=TOY, headers={**rui.bearer, "Idempotency-Key": "a"})
    other = client.post("/v1/toys", json=TOY, headers={**eva.bearer, "Idempotency-Key": "a"})
    assert (first.status_code, other.status_code) == (201, 409)


def test_wrong_tokens_are_slowed_down_by_their_address(client: FlaskClient, admin: Known) -> None:
    """API4 unrestricted resource consumption: 429 with Retry-After, and only for that address."""
    here, there = {"REMOTE_ADDR": "192.0.2.7"}, {"REMOTE_ADDR": "192.0.2.8"}
    wrong = {"Authorization": "Bearer cureyard_wrong"}
    for _ in range(MOST_A_MINUTE):
        assert client.get("/v1/toys", headers=wrong, environ_overrides=here).status_code == 401
    slowed = client.get("/v1/toys", headers=wrong, environ_overrides=here)
    assert (slowed.status_code, slug_of(slowed)) == (429, "slow-down")
    assert 1 <= int(slowed.headers["Retry-After"]) <= 60
    assert client.get("/v1/toys", headers=wrong, environ_overrides=there).status_code == 401
    assert client.get("/v1/toys", headers=admin.bearer, environ_overrides=there).status_code == 200


def test_a_right_token_is_answered_beside_any_number_of_wrong_ones(
    client: FlaskClient, admin: Known
) -> None:
    """One bell with a revoked token does not silence the office that it shares an address with.

    Everything else from that address that is not known stays slowed down.
    """
    old, rui = given("Bell", "viewer"), given("Rui", "hand")
    client.post(f"/v1/tokens/{old.id}/revocation", json={}, headers=admin.bearer)
    told = []
    for _ in range(MOST_A_MINUTE + 5):
        told.append(client.get("/v1/toys", headers=old.bearer).status_code)
        assert client.get("/v1/toys", headers=rui.bearer).status_code == 200
    assert told == [401] * MOST_A_MINUTE + [429] * 5
    assert client.post("/v1/toys", json=TOY, headers=rui.bearer).status_code == 201
    assert client.post("/enter", data={"token": rui.secret}).status_code == 303
    assert client.post("/enter", data={"token": old.secret}).status_code == 429


@pytest.mark.only_on("sqlite")
def test_an_unknown_token_costs_one_look_by_an_index(client: FlaskClient, admin: Known) -> None:
    """The same for one that never was and one that was revoked, slowed down or not.

    So how long the answer takes tells none of them from another, and a flood reads no table.
    """
    old = given("Bell", "viewer")
    client.post(f"/v1/tokens/{old.id}/revocation", json={}, headers=admin.bearer)
    feed = client.post("/v1/feeds", json={}, headers=admin.bearer).json
    client.post(f"/v1/feeds/{feed['id']}/revocation", json={}, headers=admin.bearer)
    asked: dict[str, list[str]] = {"token": [], "feed": [], "phone": []}
    for turn in range(MOST_A_MINUTE):
        for secret in (old.secret, f"cureyard_{turn}"):
            shown = {"Authorization": f"Bearer {secret}"}
            asked["token"].append(_asked_for(client, "/v1/toys", shown))
        for path in (feed["address"].partition("localhost")[2], f"/calendar/{turn}.ics"):
            asked["feed"].append(_asked_for(client, path, {}))
        asked["phone"].append(_asked_for(client, f"/pair/cureyard_{turn}", {}))
    for told in asked.values():
        assert len(set(told)) == 1, "the one is asked for in another way than the other"
        assert re.search("token|feed|phone", told[0])


def _asked_for(client: FlaskClient, path: str, headers: dict[str, str]) -> str:
    """What a refused request asks of the store, without what it looks for; it reads no table."""
    told: list[str] = []
    db.connection().set_trace_callback(told.append)
    status = client.get(path, headers=headers).status_code
    db.connection().set_trace_callback(None)
    assert status in (401, 404, 429)
    for sql in told:
        assert not plans.scans(db.execute_sql, sql), sql
    return re.sub(r"'[0-9a-f]{64}'", "?", "\n".join(told))


def test_a_network_of_ipv6_is_one_address(client: FlaskClient, admin: Known) -> None:
    """A machine has 2**64 of them to choose from."""
    wrong = {"Authorization": "Bearer cureyard_wrong"}
    told = [
        client.get(
            "/v1/toys", headers=wrong, environ_overrides={"REMOTE_ADDR": f"2001:db8::{number:x}"}
        ).status_code
        for number in range(MOST_A_MINUTE + 1)
    ]
    assert told == [401] * MOST_A_MINUTE + [429]


def test_asking_without_a_token_is_no_failure(client: FlaskClient, admin: Known) -> None:
    """A screen that nobody has logged in at shuts nobody out."""
    for _ in range(MOST_A_MINUTE + 5):
        assert client.get("/v1/toys").status_code == 401
    assert client.get("/v1/toys", headers=admin.bearer).status_code == 200


def test_with_a_login_any_name_of_the_machine_will_do(client: FlaskClient, admin: Known) -> None:
    """Where from is all the same once who asks is proven; other sites' pages are still refused."""
    far = {"REMOTE_ADDR": "192.0.2.7", "HTTP_HOST": "yard.example"}
    passed_on = {**admin.bearer, "X-Forwarded-For": "192.0.2.9"}
    assert client.get("/v1/toys", headers=passed_on, environ_overrides=far).status_code == 200
    crossing = {**admin.bearer, "Sec-Fetch-Site": "cross-site"}
    answer = client.post("/v1/toys", json=TOY, headers=crossing)
    assert (answer.status_code, slug_of(answer)) == (403, "cross-site")


def test_behind_a_proxy_everybody_logs_in(app: Flask, clock: Clock) -> None:
    """Even before there is a token; and the proxy is believed about name and scheme."""
    behind = create_app(
        Settings(database=database_of(app), zone="UTC"), clock=clock, behind_proxy=True
    ).test_client()
    assert behind.get("/v1/yard").status_code == 401
    told = {"X-Forwarded-Proto": "https", "X-Forwarded-Host": "yard.example"}
    assert behind.get("/v1/yard", headers=told).json["type"].startswith("https://yard.example/")


NAMED = frozenset({ip_address("192.0.2.20"), ip_address("2001:db8::20")})


def _proxied(app: Flask, clock: Clock) -> FlaskClient:
    settings = Settings(database=database_of(app), zone="UTC")
    return create_app(settings, clock=clock, behind_proxy=True, trusted=NAMED).test_client()


@pytest.mark.parametrize("peer", ["192.0.2.20", "::ffff:192.0.2.20", "2001:db8::20"])
def test_the_named_proxy_is_believed(app: Flask, clock: Clock, admin: Known, peer: str) -> None:
    """About each guesser's address, too: none shuts another's mistypes out."""
    behind = _proxied(app, clock)
    told = []
    for n in range(MOST_A_MINUTE + 1):
        headers = {
            "Authorization": "Bearer cureyard_wrong", "X-Forwarded-For": f"198.51.100.{n}",
            "X-Forwarded-Host": "yard.example",
        }  # fmt: skip
        told.append(
            behind.get("/v1/yard", headers=headers, environ_overrides={"REMOTE_ADDR": peer})
        )
    assert {answer.status_code for answer in told} == {401}
    assert "//yard.example/" in told[0].json["type"]


@pytest.mark.parametrize(
    "peer",
    ["192.0.2.7", "192.0.2.21", "2001:db8::21", "::ffff:192.0.2.7", "10.0.0.1", "", "rubbish"],
)
def test_past_the_proxy_nobody_is_answered(
    app: Flask, clock: Clock, admin: Known, peer: str
) -> None:
    """It came in the open; neither the right token helps, nor to say that it was the proxy."""
    behind = _proxied(app, clock)
    saying = {"X-Forwarded-For": "192.0.2.20", "X-Forwarded-Host": "yard.example", **admin.bearer}
    for path in ("/", "/v1/yard", "/enter", "/healthz", "/docs", "/static/x", "/x", "/pair/x"):
        answer = behind.get(path, headers=saying, environ_overrides={"REMOTE_ADDR": peer})
        assert answer.status_code == 403, path
        assert b"foreign-host" in answer.data
        assert b"yard.example" not in answer.data


def test_this_machine_is_no_proxy_where_another_is_named(
    app: Flask, clock: Clock, admin: Known
) -> None:
    """Its programs are answered with their token; what they say that they pass on is nothing."""
    behind = _proxied(app, clock)
    saying = {"X-Forwarded-For": "198.51.100.7", "X-Forwarded-Host": "yard.example"}
    assert behind.get("/v1/yard", headers=saying | admin.bearer).status_code == 200
    refused = behind.get("/v1/yard", headers=saying)
    assert (refused.status_code, "yard.example" in refused.text) == (401, False)


def test_without_a_proxy_nobody_is_believed_about_the_address(
    client: FlaskClient, admin: Known
) -> None:
    """X-Forwarded-For does not make one guesser many."""
    told = [
        client.get(
            "/v1/toys",
            headers={"Authorization": "Bearer cureyard_wrong", "X-Forwarded-For": f"10.1.1.{n}"},
        ).status_code
        for n in range(MOST_A_MINUTE + 1)
    ]
    assert told[-1] == 429


def test_a_secret_stands_in_no_log_and_no_problem(
    client: FlaskClient, admin: Known, caplog: pytest.LogCaptureFixture
) -> None:
    """Neither after a refusal, nor after a fault inside, nor when the token was sent oddly."""
    caplog.set_level(logging.DEBUG)
    rui = given("Rui", "hand")
    answers = [
        client.delete("/v1/toys/T-1", headers=rui.bearer),
        client.post("/v1/toys/broken/1", headers=rui.bearer),
        client.post("/v1/toys", data=rui.secret, headers=rui.bearer),
        client.get(f"/v1/toys?{rui.secret}=1"),
        client.get("/v1/toys", headers={"Authorization": f"Basic {rui.secret}"}),
        client.get("/v1/toys", headers={"Authorization": f"Bearer {rui.secret} "}),
    ]
    assert [a.status_code for a in answers] == [403, 500, 415, 401, 401, 200]
    for told in [caplog.text, *(a.text + str(a.headers) for a in answers)]:
        assert rui.secret not in told
