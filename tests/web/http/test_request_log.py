"""The log: what a line says, what is always in it, and that no secret ever is."""

from __future__ import annotations

import logging
import re

import pytest
from cureyard_service.acts.yard import phones
from cureyard_service.web.http import request_log
from flask import Flask
from flask.testing import FlaskClient

from ..conftest import MORNING
from ..tokened import KEEPER, given

LINE = re.compile(r"[0-9a-f]{16} (\d{3}) \d+ ms ([A-Z]+) (\S+) from 127\.0\.0\.1 by (.+)")
LOGGER = "cureyard"


@pytest.fixture
def client(own_app: Flask, caplog: pytest.LogCaptureFixture) -> FlaskClient:
    """Somebody at a service that logs each request."""
    request_log.add(own_app)
    caplog.set_level(logging.INFO, LOGGER)

    def fail() -> str:
        raise RuntimeError("nobody foresaw it")

    own_app.add_url_rule("/static/fail", "problems_fail", fail)
    return own_app.test_client()


def lines(caplog: pytest.LogCaptureFixture) -> list[tuple[str, ...]]:
    """Status, method, path and name of each request in the log."""
    found = [LINE.fullmatch(each.getMessage()) for each in caplog.records]
    return [each.groups() for each in found if each is not None]


def test_a_line_a_request(client: FlaskClient, caplog: pytest.LogCaptureFixture) -> None:
    """Id, status, time, method, path and whose token; the id is in the answer too."""
    answer = client.get("/v1/jobs?limit=5")
    rui = given("Rui Sá", "viewer")
    client.get("/v1/jobs", headers=rui.bearer)
    client.get("/v1/jobs/X-1", headers=rui.bearer)
    assert lines(caplog) == [
        ("200", "GET", "/v1/jobs", "nobody"), ("200", "GET", "/v1/jobs", "Rui Sá"),
        ("404", "GET", "/v1/jobs/X-1", "Rui Sá"),
    ]  # fmt: skip
    assert caplog.records[0].getMessage().startswith(answer.headers["Request-Id"])


def test_no_secret_is_in_it(client: FlaskClient, caplog: pytest.LogCaptureFixture) -> None:
    """Neither a token, nor a pass, nor what is asked, nor a secret address, right or wrong."""
    rui = given("Rui", "hand")
    _, code = phones.add_phone(name="Eva", role="hand", maker_id=None, now=MORNING, hand=KEEPER)
    for _ in range(2):
        client.post(f"/pair/{code}", data={"key": "key-of-a-page"})
    client.get("/pair/mistyped-code")
    client.delete_cookie("cureyard")
    made = client.post("/v1/feeds", json={}, headers=rui.bearer).json["address"]
    secret = made.rpartition("/")[2].removesuffix(".ics")
    client.get(f"/calendar/{secret}.ics")
    client.get("/calendar/mistyped-secret.ics")
    client.get(f"/v1/jobs?job={rui.secret}", headers=rui.bearer)
    client.get(f"/jobs/{rui.secret}", headers=rui.bearer)
    client.post("/enter", data={"token": rui.secret})
    client.post("/enter", data={"token": "wrong-one"})
    client.get("/v1/jobs%0Aforged", headers=rui.bearer)
    assert len(lines(caplog)) == 11
    for hidden in (
        code,
        "key-of-a-page",
        "mistyped-code",
        secret,
        rui.secret,
        "mistyped-secret",
        "wrong-one",
        "\nforged",
    ):
        assert hidden not in caplog.text
    assert ("200", "GET", "/calendar/….ics", "nobody") in lines(caplog)


def test_wrong_entrances_and_faults_are_always_logged(
    client: FlaskClient, caplog: pytest.LogCaptureFixture
) -> None:
    """Also where not each request is; a fault with its reason, under the id of its line."""
    caplog.set_level(logging.WARNING, LOGGER)
    given("Rui", "hand")
    wrong = {"Authorization": "Bearer cureyard_wrong"}
    assert client.get("/v1/jobs", headers=wrong).status_code == 401
    assert client.get("/v1/jobs", headers={"Origin": "http://evil.example"}).status_code == 401
    client.post("/enter", data={"token": "wrong"})
    client.get("/calendar/wrong.ics")
    client.get("/pair/wrong")
    client.get("/healthz")
    assert [(status, path) for status, _, path, _ in lines(caplog)] == [
        ("401", "/v1/jobs"), ("401", "/v1/jobs"), ("401", "/enter"), ("404", "/calendar/….ics"),
        ("404", "/pair/…"),
    ]  # fmt: skip
    assert {each.levelname for each in caplog.records} == {"WARNING"}


def test_a_fault(client: FlaskClient, caplog: pytest.LogCaptureFixture) -> None:
    """The reason and the line have one id."""
    caplog.set_level(logging.WARNING, LOGGER)
    answer = client.get("/static/fail")
    assert answer.status_code == 500
    number = answer.headers["Request-Id"]
    assert [number in each.getMessage() for each in caplog.records] == [True, True]
    assert "nobody foresaw it" in caplog.text


@pytest.mark.parametrize(("every", "level"), [(True, logging.INFO), (False, logging.WARNING)])
def test_set_up(every: bool, level: int) -> None:
    """`serve --log` writes each request; without it only what must be seen."""
    log = logging.getLogger(LOGGER)
    before = log.level
    try:
        request_log.set_up(every=every)
        assert log.level == level
    finally:
        log.setLevel(before)
