"""What the OpenAPI document says of operations beside their bodies and answers."""

from __future__ import annotations

from typing import Any

import pytest
from flask.testing import FlaskClient

pytestmark = pytest.mark.only_on("sqlite")  # nothing here rests on what a database does


@pytest.fixture
def paths(client: FlaskClient) -> Any:
    """What the document says of each address."""
    return client.get("/openapi.json").json["paths"]


def test_a_query_has_no_null(paths: Any) -> None:
    """What is not said is left out; `?job=null` would ask for a job called null."""
    query = [
        parameter
        for methods in paths.values()
        for operation in methods.values()
        if isinstance(operation, dict)
        for parameter in operation["parameters"]
        if parameter["in"] == "query"
    ]
    assert len(query) > 50
    for parameter in query:
        assert isinstance(parameter["schema"]["type"], str), parameter
        assert parameter["schema"].get("default", "") is not None, parameter


def test_a_change_says_which_version_it_changes(client: FlaskClient, paths: Any) -> None:
    """An If-Match of nothing is none, and the description has no room for it."""
    (if_match,) = (
        parameter
        for parameter in paths["/v1/yard"]["patch"]["parameters"]
        if parameter["name"] == "If-Match"
    )
    assert if_match["required"]
    assert if_match["schema"]["pattern"] == "[!-~]"
    for given in ("", " "):
        answer = client.patch("/v1/yard", json={}, headers={"If-Match": given})
        assert answer.status_code == 428
    for given in if_match["schema"]["examples"]:
        assert client.patch("/v1/yard", json={}, headers={"If-Match": given}).status_code in (
            200,
            412,
        )


@pytest.mark.parametrize(
    ("method", "path", "kind"),
    [
        ("get", "/v1/shopping", "text/csv"),
        ("post", "/v1/estimates/roll", "image/svg+xml"),
        ("post", "/v1/estimates/sheets", "image/svg+xml"),
    ],
)
def test_an_answer_says_what_else_it_may_come_as(
    paths: Any, method: str, path: str, kind: str
) -> None:
    """Beside JSON: a table, or a drawing."""
    content = paths[path][method]["responses"]["200"]["content"]
    assert content.keys() == {"application/json", kind}
    assert content[kind]["schema"] == {"type": "string"}
