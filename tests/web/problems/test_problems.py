"""Every refusal is a problem document, and every problem has its page."""

from __future__ import annotations

import logging
from collections.abc import Iterator
from pathlib import Path

import pytest
from cureyard_service.core import errors as core
from cureyard_service.store.engine.database import db
from cureyard_service.store.engine.faults import WrongVersion
from cureyard_service.web import problems
from cureyard_service.web.app import create_app
from cureyard_service.web.context.settings import Settings
from cureyard_service.web.http import error_handlers
from cureyard_service.web.openapi.document import ProblemOut
from flask import Flask
from flask.testing import FlaskClient

stateless = pytest.mark.only_on("sqlite")  # an address is read before the store is asked


def every_refusal() -> Iterator[type[core.Refusal]]:
    """The classes of the core's refusals and of HTTP's own."""
    for module in (core, problems):
        for found in vars(module).values():
            if isinstance(found, type) and issubclass(found, core.Refusal):
                yield found


def test_the_table_has_every_refusal_and_nothing_else() -> None:
    """A slug without a row would be a fault; a row without a slug, a promise not kept."""
    assert {refusal.slug for refusal in every_refusal()} == set(problems.TABLE)


PROMISED = {
    400: "unreadable",
    401: "not-authenticated",
    403: "cross-site foreign-host not-allowed",
    404: "not-found",
    405: "method",
    409: "already-exists not-served expired-lot held-lot short-stock no-single-piece "
    "reserved-stock gate-stop authority-missing not-cured unsound-below job-closed "
    "counted-since reading-differs part-of-batch signed still-open pot-too-short",
    412: "stale-version",
    413: "too-large",
    415: "media-type",
    422: "validation unit-missing unit-mismatch unknown-reference outside-limits peroxide-limit "
    "too-cold too-hot cure-sheet-missing partner-missing cure-sheet-inconsistent no-plan "
    "idempotency-conflict",
    428: "precondition-missing",
    429: "slow-down",
    500: "fault",
    503: "busy streams-full unsure not-ready",
    507: "store-full",
}
"""What programs rely on: a slug keeps its name and its status."""


def test_slugs_and_statuses_are_as_the_interface_promises() -> None:
    """403 who, 404 what, 409 the store's state, 422 the content, 503 later."""
    promised = {(slug, status) for status, slugs in PROMISED.items() for slug in slugs.split()}
    assert {(slug, problem.status) for slug, problem in problems.TABLE.items()} == promised


def test_titles_and_explanations_are_words() -> None:
    """None empty, no title twice, and no advice that ends in mid-air."""
    titles = [problem.title for problem in problems.TABLE.values()]
    assert len(set(titles)) == len(titles)
    for problem in problems.TABLE.values():
        assert problem.explanation.endswith(".")
        assert not problem.title.endswith(".")


def test_a_problem_says_what_was_wrong_and_that_nothing_changed(client: FlaskClient) -> None:
    """RFC 9457, 3.1: its members; 3.2: ours beside them; 3: the media type."""
    client.post("/v1/toys", json={"number": "T-1", "title": "Cutter"})
    answer = client.post("/v1/toys", json={"number": "t-1", "title": "Yawl"})
    assert answer.content_type == "application/problem+json"
    assert answer.json == {
        "type": "http://localhost/problems/already-exists",
        "slug": "already-exists",
        "title": "It exists or was done already",
        "status": 409,
        "detail": "There is a toy t-1 already.",
        "pointer": "/number",
        "changed": False,
    }


def test_the_type_leads_to_a_page_that_explains_it(client: FlaskClient) -> None:
    """On the host that was asked, whatever its port."""
    answer = client.get("/nowhere", headers={"Host": "127.0.0.1:8765"})
    kind = answer.json["type"]
    assert kind == "http://127.0.0.1:8765/problems/not-found"
    page = client.get(kind.removeprefix("http://127.0.0.1:8765"))
    assert page.status_code == 200
    assert problems.TABLE["not-found"].explanation in page.text


def test_the_type_is_at_the_public_address_where_there_is_one(tmp_path: Path) -> None:
    """So that it can be followed from anywhere."""
    store = str(tmp_path / "yard.sqlite")
    app = create_app(Settings(database=store, zone="UTC", address="https://yard.example/"))
    answer = app.test_client().get("/nowhere")
    db.close()
    assert answer.json["type"] == "https://yard.example/problems/not-found"


def test_every_problem_has_its_page(client: FlaskClient) -> None:
    """Plain HTML with its title and its status."""
    for slug, problem in problems.TABLE.items():
        page = client.get(f"/problems/{slug}")
        assert (page.status_code, page.mimetype) == (200, "text/html"), slug
        assert str(problem.status) in page.text, slug


def test_the_problems_are_listed(client: FlaskClient) -> None:
    """Each with a link to its page; a problem that there is not has none."""
    page = client.get("/problems/")
    for slug in problems.TABLE:
        assert f'href="/problems/{slug}"' in page.text
    assert client.get("/problems/no-such-thing").status_code == 404


def test_an_unknown_address_is_not_found(client: FlaskClient) -> None:
    """With any method, and however odd."""
    for address in ("/no", "/v1", "/v1/toys/", "/v1/toys/T-1/x", "/%00", "/%FF", "/" + "x" * 5000):
        for method in ("GET", "POST", "PATCH", "DELETE"):
            answer = client.open(address, method=method)
            assert answer.status_code == 404, (method, address)
            assert answer.json["type"].endswith("/problems/not-found")
            assert len(answer.data) < 1000


@stateless
@pytest.mark.parametrize("code", ["-1", "a b", "x" * 33, "%C3%84", "a%0A", ".a"])
def test_what_is_no_code_is_not_found(client: FlaskClient, code: str) -> None:
    """An address that can't name anything names nothing."""
    answer = client.get(f"/v1/toys/{code}")
    assert answer.status_code == 404
    assert answer.json["type"].endswith("/problems/not-found")


@stateless
@pytest.mark.parametrize(
    "row", ["x", "-1", "1.0", "1e3", "9223372036854775808", "9" * 30, "٣", "+1", "0x1", "%201"]
)
def test_what_is_no_id_is_not_found(client: FlaskClient, row: str) -> None:
    """Over 63 bits included."""
    assert client.post(f"/v1/toys/broken/{row}").status_code == 404


def test_another_method_is_refused_with_those_that_are_taken(client: FlaskClient) -> None:
    """405 and Allow: RFC 9110, 15.5.6 and 10.2.1."""
    answer = client.put("/v1/toys")
    assert answer.status_code == 405
    assert answer.json["type"].endswith("/problems/method")
    assert set(answer.headers["Allow"].split(", ")) == {"GET", "HEAD", "OPTIONS", "POST"}
    assert client.open("/v1/toys", method="BREW").status_code == 405


def test_a_fault_names_an_id_that_stands_in_the_log(
    client: FlaskClient, caplog: pytest.LogCaptureFixture
) -> None:
    """The traceback is for whoever looks after the service; the answer tells none of it."""
    with caplog.at_level(logging.ERROR, logger="cureyard"):
        answer = client.post("/v1/toys/broken/1")
    assert answer.status_code == 500
    assert answer.json["type"].endswith("/problems/fault")
    (record,) = caplog.records
    assert answer.json["id"] in record.getMessage()
    assert answer.headers["Request-Id"] == answer.json["id"]
    assert record.exc_info is not None
    assert record.exc_info[0] is ZeroDivisionError
    for internal in ("secret", "ZeroDivision", "Traceback", "toy.py"):
        assert internal not in answer.text


def test_a_fault_is_told_no_line_of_the_log(
    client: FlaskClient, caplog: pytest.LogCaptureFixture
) -> None:
    """An address can't write a line of its own into the log."""
    client.post("/v1/toys/broken/1%0AFORGED")
    client.post("/v1/toys/broken/1?x=%0AFORGED")
    assert not any(line.startswith("FORGED") for line in caplog.text.splitlines())


def test_a_store_that_cannot_be_used_is_not_ready(app: Flask) -> None:
    """A store that another program brought on is no fault of this one."""
    with app.test_request_context("/v1/toys"):
        answer = error_handlers.unusable(WrongVersion("The store is newer.", advice="Update."))
    assert answer.status_code == 503
    assert answer.json is not None
    assert answer.json["type"].endswith("/problems/not-ready")
    assert answer.headers["Retry-After"]


def test_documents_are_as_described(client: FlaskClient) -> None:
    """What OpenAPI says of a problem holds for one with several faults."""
    body = client.post("/v1/toys", json={}).json
    described = ProblemOut().fields
    assert set(body) <= set(described)
    assert {name for name, field in described.items() if field.required} <= set(body)
    assert len(body["errors"]) == 2
