"""Health, the description of the interface, and the pages made from it."""

from __future__ import annotations

import re
from html import unescape
from pathlib import Path
from typing import Any

import psycopg
import pytest
from cureyard_service.store.engine.database import db
from cureyard_service.web.http.access import reads
from cureyard_service.web.http.blueprint import Blueprint
from cureyard_service.web.http.paging import Page
from cureyard_service.web.pages import viewer
from cureyard_service.web.resources.health import StateOut
from flask import Flask
from flask.testing import FlaskClient
from flask.views import MethodView

from ...bare import holding

ADDRESSES = ("/healthz", "/readyz", "/docs/topics", "/problems/", "/v1/toys", "/nowhere")


@pytest.fixture
def document(client: FlaskClient) -> dict[str, Any]:
    """The OpenAPI document."""
    found: dict[str, Any] = client.get("/openapi.json").json
    return found


@pytest.mark.parametrize("address", ADDRESSES)
def test_every_answer_carries_its_headers(client: FlaskClient, address: str) -> None:
    """Nothing guessed, framed or kept, and an id of its own."""
    first, second = client.get(address), client.get(address)
    for name, value in {
        "X-Content-Type-Options": "nosniff",
        "Cache-Control": "no-store",
        "Referrer-Policy": "same-origin",
    }.items():
        assert first.headers.getlist(name) == [value]
    page = first.mimetype == "text/html"
    policy = first.headers["Content-Security-Policy"]
    assert policy.startswith("default-src 'self';" if page else "default-src 'none';")
    assert "frame-ancestors 'none'" in policy
    assert first.headers["Request-Id"] != second.headers["Request-Id"]


def test_alive_and_ready(client: FlaskClient) -> None:
    """A service on a good store is both."""
    assert client.get("/healthz").json == {"state": "alive"}
    assert client.get("/readyz").json == {"state": "ready"}


def test_a_store_that_cannot_be_written_is_not_ready(client: FlaskClient) -> None:
    """Alive it is; the answer says what is the matter."""
    with holding(db.obj):
        answer, alive = client.get("/readyz"), client.get("/healthz")
    assert (answer.status_code, alive.status_code) == (503, 200)
    assert answer.json["type"].endswith("/problems/busy")


@pytest.mark.only_on("sqlite")
def test_a_store_that_was_taken_away_is_not_ready(client: FlaskClient) -> None:
    """Somebody moved its file: no act is answered as if it were kept, and no new file is made."""
    path = Path(db.database)
    path.rename(path.with_suffix(".away"))
    told = client.get("/readyz"), client.post("/v1/toys", json={"number": "1", "title": "x"})
    for answer in told:
        assert answer.status_code == 503
        assert answer.json["type"].endswith("/problems/not-ready")
        assert "deleted or moved" in answer.json["detail"]
    assert not path.exists()
    assert client.get("/healthz").status_code == 200
    path.with_suffix(".away").rename(path)
    assert client.get("/readyz").json == {"state": "ready"}


@pytest.mark.only_on("postgresql")
def test_a_line_that_the_database_dropped_is_taken_up_again(client: FlaskClient) -> None:
    """Every connection is ended, as when its server starts anew: no request fails of it."""
    end = (
        "SELECT pg_terminate_backend(pid) FROM pg_stat_activity"
        " WHERE datname = current_database() AND pid <> pg_backend_pid()"
    )
    for method, where in (("GET", "/readyz"), ("GET", "/v1/toys"), ("POST", "/v1/toys")):
        with psycopg.connect(db.database, autocommit=True) as other:
            other.execute(end)
        answer = client.open(where, method=method, json={"number": "1", "title": "x"})
        assert answer.status_code in (200, 201), answer.text


def test_a_store_of_another_version_is_not_ready(client: FlaskClient) -> None:
    """Another program brought the store on while this one ran."""
    db.execute_sql(
        "INSERT INTO schema_migration (name, applied) VALUES ('9999_later', '2026-01-01')"
    )
    answer = client.get("/readyz")
    assert answer.status_code == 503
    assert answer.json["type"].endswith("/problems/not-ready")
    assert "9999" in answer.json["detail"]
    assert client.post("/v1/toys", json={"number": "1", "title": "x"}).status_code == 503
    assert client.get("/healthz").status_code == 200


def test_a_store_without_its_tables_is_not_ready(client: FlaskClient) -> None:
    """Whatever went wrong with it, no act could be done."""
    db.execute_sql("DROP TABLE schema_migration")
    answer = client.get("/readyz")
    assert answer.status_code == 503
    assert answer.json["type"].endswith("/problems/not-ready")


def test_the_description_is_openapi_3_1(document: dict[str, Any]) -> None:
    """Every reference in it leads somewhere, and each problem is of its own media type."""
    assert document["openapi"] == "3.1.0"
    for reference in re.findall(r"'\$ref': '#/([^']+)'", repr(document)):
        found: Any = document
        for step in reference.split("/"):
            found = found[step]
    for response in document["components"]["responses"].values():
        assert list(response["content"]) == ["application/problem+json"]


def test_every_operation_tells_its_refusals_and_headers(document: dict[str, Any]) -> None:
    """By what it is: a change needs its version, an act may carry its key."""
    toys = document["paths"]["/v1/toys"]
    toy = document["paths"]["/v1/toys/{number}"]
    named = {
        (method, p["name"])
        for method, operation in ({**toys, "patch": toy["patch"]}).items()
        for p in operation["parameters"]
    }
    assert ("post", "Idempotency-Key") in named
    assert ("patch", "If-Match") in named
    assert ("get", "Idempotency-Key") not in named
    assert {("get", name) for name in ("limit", "after", "units")} <= named
    assert {"400", "403", "409", "413", "415", "422", "503"} <= set(toys["post"]["responses"])
    assert {"412", "428"} <= set(toy["patch"]["responses"])
    assert "400" not in toys["get"]["responses"]
    assert "text/csv" in toys["post"]["requestBody"]["content"]


def test_quantities_are_text_in_requests_and_objects_in_answers(document: dict[str, Any]) -> None:
    """With examples of what may be written."""
    schemas = document["components"]["schemas"]
    asked, shown = (schemas[name]["properties"]["weight"] for name in ("ToyIn", "EchoOut"))
    assert asked["type"] == "string"
    assert "1.5 kg" in asked["examples"]
    assert shown["properties"]["unit"]["enum"] == ["kg", "lb"]


def test_a_body_says_that_it_takes_no_other_names_and_an_answer_that_it_may(
    document: dict[str, Any],
) -> None:
    """Within v1 things are only added."""
    schemas = document["components"]["schemas"]
    assert schemas["ToyIn"]["additionalProperties"] is False
    assert schemas["ToyOut"]["additionalProperties"] is True


def test_the_page_shows_every_operation(client: FlaskClient, document: dict[str, Any]) -> None:
    """With its address, and nothing from anywhere else."""
    page = client.get("/docs/examples")
    assert page.mimetype == "text/html"
    text = unescape(page.text)
    for path, methods in document["paths"].items():
        for method in methods.keys() - {"parameters"}:
            assert f"<code>{method.upper()} {path}</code>" in text
    for link in re.findall(r"(?:src|href)=\"([^\"]+)\"", page.text):
        if link.startswith("#"):
            assert f'id="{link[1:]}"' in page.text
            continue
        assert link.startswith("/")
        with client.get(link) as linked:
            assert linked.status_code == 200
    assert "<script" not in page.text
    assert "style=" not in page.text


def test_a_method_that_says_no_access_does_not_start(app: Flask) -> None:
    """Nobody can forget to say who may."""
    blp = Blueprint("open", __name__, description="Anybody.")

    class Open(MethodView):
        def get(self) -> str:
            return "anybody"

    with pytest.raises(TypeError, match="says no access"):
        blp.route("/open")(Open)


def test_an_order_of_decorators_that_would_not_hold_does_not_start() -> None:
    """A body is read before the store is locked, and the answer is made before it is let go."""
    blp = Blueprint("order", __name__, description="Nothing.")

    def get() -> None:
        """Answer nothing."""

    with pytest.raises(TypeError, match="response above its access"):
        blp.response(200, StateOut)(reads()(blp.response(200, StateOut)(get)))
    with pytest.raises(TypeError, match="no access under its arguments"):
        blp.arguments(Page, location="query")(blp.response(200, StateOut)(get))


def test_the_viewer_has_a_policy_of_its_own(client: FlaskClient) -> None:
    """Its scripts come from here alone; nothing stands in the page itself. No other page has it."""
    page = client.get("/docs")
    policy = page.headers["Content-Security-Policy"]
    assert policy == viewer.POLICY
    assert "script-src 'self';" in policy
    assert "unsafe-eval" not in policy
    assert "frame-ancestors 'none'" in policy
    assert client.get("/docs/topics").headers["Content-Security-Policy"] != policy
    scripts = re.findall(r"<script([^>]*)>([^<]*)</script>", page.text)
    assert len(scripts) == 2
    assert all("src=" in attributes and not inside for attributes, inside in scripts)
    assert "style=" not in page.text
    for link in re.findall(r"(?:src|href)=\"([^\"]+)\"", page.text):
        if link == "data:,":  # no icon is asked for
            continue
        assert link.startswith("/")
        with client.get(unescape(link)) as linked:
            assert linked.status_code == 200, link
    assert client.get("/docs/viewer/index.template.html").status_code == 404


def test_a_file_is_kept_for_long_and_asked_for_again_by_its_etag(client: FlaskClient) -> None:
    """Under an address with its hash; under another it is asked for each time (RFC 9110, 13)."""
    found = re.findall(
        r"(?:src|href)=\"(/(?:static|docs/viewer)/[^\"]+)\"", client.get("/docs").text
    )
    assert len(found) == 4
    for link in map(unescape, found):
        assert re.search(r"\?v=[0-9a-f]{16}$", link)
        with client.get(link) as kept:
            assert kept.headers["Cache-Control"] == "public, max-age=31536000, immutable"
            etag = kept.headers["ETag"]
        with client.get(link, headers={"If-None-Match": etag}) as again:
            assert (again.status_code, again.data) == (304, b"")
        for other in (link.partition("?")[0], link[:-1] + "x"):
            with client.get(other) as asked:
                assert asked.headers["Cache-Control"] == "no-cache"
    described = client.get("/openapi.json")
    again = client.get("/openapi.json", headers={"If-None-Match": described.headers["ETag"]})
    assert (again.status_code, again.data) == (304, b"")
