"""The entrance for browsers: a token shown once gives a pass that shows pages, and no more.

OWASP API Security Top 10 (2023): API2 broken authentication, API8 security misconfiguration.
"""

from __future__ import annotations

import pytest
from cureyard_service.acts.yard import tokens
from cureyard_service.store import tables
from cureyard_service.web.app import create_app
from cureyard_service.web.context.request import hand
from cureyard_service.web.context.settings import Settings
from cureyard_service.web.context.throttle import MOST_A_MINUTE
from flask import Flask
from flask.testing import FlaskClient

from ..conftest import MORNING
from ..tokened import KEEPER, Known, database_of, given

TOY = {"number": "T-1", "title": "Cutter"}


@pytest.fixture
def app(own_app: Flask) -> Flask:
    """A service with a page of its own, for a browser."""
    own_app.add_url_rule("/board", "board", lambda: f"for {hand().name}", methods=["GET", "POST"])
    return own_app


@pytest.fixture
def rui(client: FlaskClient) -> Known:
    """A hand with a token."""
    return given("Rui", "hand")


def let_in(client: FlaskClient, known: Known) -> str:
    """Come in; what the browser was told to keep."""
    answer = client.post("/enter", data={"token": f" {known.secret}\n"})
    assert answer.status_code == 303
    return answer.headers["Set-Cookie"]


def test_a_page_asks_for_a_token_and_then_is_shown(client: FlaskClient, rui: Known) -> None:
    """The way leads to the entrance and back to the page."""
    away = client.get("/board")
    assert (away.status_code, away.headers["Location"]) == (303, "/enter?to=/board")
    assert b'type="password"' in client.get("/enter").data
    came = client.post("/enter?to=/board", data={"token": rui.secret})
    assert came.headers["Location"] == "/board"
    assert client.get("/board").text == "for Rui"


def test_where_nobody_has_to_log_in_nobody_is_asked(client: FlaskClient) -> None:
    """Whoever is at the machine sees its pages."""
    assert client.get("/board").text == "for Ines"
    assert client.get("/enter").headers["Location"] == "/"
    assert "Set-Cookie" not in client.post("/enter", data={"token": "x"}).headers


def test_the_pass_is_for_looking_alone(client: FlaskClient, rui: Known) -> None:
    """The interface never asks for it, and a page that would change something doesn't either."""
    let_in(client, rui)
    for method in ("GET", "POST"):
        answer = client.open("/v1/toys", method=method, json=TOY if method == "POST" else None)
        assert answer.status_code == 401
    assert client.post("/board").status_code == 401
    assert tables.Job.select().count() == 0


def test_the_pass_is_not_the_token(client: FlaskClient, rui: Known) -> None:
    """Read from the browser or from the store it opens nothing under /v1."""
    cookie = let_in(client, rui)
    assert rui.secret not in cookie
    value = cookie.partition("=")[2].partition(";")[0]
    stolen = {"Authorization": f"Bearer {value}"}
    assert client.get("/v1/toys", headers=stolen).status_code == 401
    kept = tables.Token.get(tables.Token.id == rui.id)
    assert value not in (kept.page_hash, kept.secret_hash)
    thief = client.application.test_client()
    thief.set_cookie("cureyard", kept.page_hash)
    assert thief.get("/board").status_code == 303


def test_scripts_and_other_sites_have_no_use_of_the_pass(client: FlaskClient, rui: Known) -> None:
    """HttpOnly, SameSite=Strict, no domain; Secure where TLS is before the service."""
    parts = {part.strip().partition("=")[0]: part for part in let_in(client, rui).split(";")}
    assert {"HttpOnly", "SameSite", "Path", "Max-Age"} <= set(parts)
    assert parts["SameSite"].endswith("Strict")
    assert "Domain" not in parts
    assert "Secure" not in parts


def test_behind_tls_the_pass_is_secure(app: Flask, rui: Known) -> None:
    """It never crosses a network in the open."""
    settings = Settings(database=database_of(app), zone="UTC")
    behind = create_app(settings, behind_proxy=True).test_client()
    told = {"X-Forwarded-Proto": "https", "Origin": "https://yard.example",
            "X-Forwarded-Host": "yard.example"}  # fmt: skip
    answer = behind.post("/enter", data={"token": rui.secret}, headers=told)
    assert answer.status_code == 303
    assert "; Secure" in answer.headers["Set-Cookie"]


def test_leaving(client: FlaskClient, rui: Known) -> None:
    """The browser forgets; the entrance says who was there until then."""
    let_in(client, rui)
    assert "Rui" in client.get("/enter").text
    left = client.post("/leave")
    assert (left.headers["Location"], left.headers["Clear-Site-Data"]) == ("/enter", '"cache"')
    assert client.get("/board").status_code == 303


def test_revoked_is_revoked_for_browsers_too(client: FlaskClient, rui: Known) -> None:
    """At once, and it is no wrong guess that would slow others down."""
    let_in(client, rui)
    tokens.revoke_token(rui.id, now=MORNING, hand=KEEPER)
    for _ in range(MOST_A_MINUTE + 1):
        assert client.get("/board").status_code == 303
    assert client.post("/enter", data={"token": rui.secret}).status_code == 401


def test_a_wrong_token_is_told_on_the_page(client: FlaskClient, rui: Known) -> None:
    """Slowed down as everywhere; what was typed is not repeated."""
    for status in [401] * MOST_A_MINUTE + [429]:
        answer = client.post("/enter", data={"token": "cureyard_wrong"})
        assert answer.status_code == status
        assert answer.mimetype == "text/html"
        assert "cureyard_wrong" not in answer.text
        assert "Set-Cookie" not in answer.headers
    assert 1 <= int(answer.headers["Retry-After"]) <= 60


@pytest.mark.parametrize("data", [{}, {"token": ""}, {"token": "x" * 9000}, {"other": "x"}])
def test_a_form_without_a_token(client: FlaskClient, rui: Known, data: dict[str, str]) -> None:
    """Nobody comes in by it."""
    assert client.post("/enter", data=data).status_code == 401


@pytest.mark.parametrize(
    "to",
    ["//evil.example", "https://evil.example/", "/\\evil.example", "\\\\evil.example", "evil", "",
     "/%0d%0aSet-Cookie: x=y", "javascript:alert(1)", "/\tevil"],
)  # fmt: skip
def test_the_way_back_leads_nowhere_else(client: FlaskClient, rui: Known, to: str) -> None:
    """A link to the entrance can't send people on to another site."""
    answer = client.post("/enter", query_string={"to": to}, data={"token": rui.secret})
    where = answer.headers["Location"]
    assert where == "/" or where.startswith("/%")
    assert "x=y" not in answer.headers["Set-Cookie"]


@pytest.mark.parametrize(
    "headers",
    [{"Sec-Fetch-Site": "cross-site"}, {"Origin": "https://evil.example"}, {"Origin": "null"}],
)
@pytest.mark.parametrize("address", ["/enter", "/leave"])
def test_another_site_neither_lets_in_nor_out(
    client: FlaskClient, rui: Known, address: str, headers: dict[str, str]
) -> None:
    """A person is not made somebody else by a page elsewhere."""
    answer = client.post(address, data={"token": rui.secret}, headers=headers)
    assert answer.status_code == 403
    assert "Set-Cookie" not in answer.headers


def test_a_program_may_read_a_page_with_its_token(client: FlaskClient, rui: Known) -> None:
    """As a bearer; a wrong one is refused rather than sent to a form."""
    assert client.get("/board", headers=rui.bearer).text == "for Rui"
    wrong = {"Authorization": "Bearer cureyard_wrong"}
    assert client.get("/board", headers=wrong).status_code == 401
