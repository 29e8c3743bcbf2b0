"""Links of the OpenAPI document: where they lead, and what they carry there."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from flask.testing import FlaskClient

pytestmark = pytest.mark.only_on("sqlite")  # nothing here rests on what a database does


@pytest.fixture
def document(client: FlaskClient) -> Any:
    """The OpenAPI document."""
    return client.get("/openapi.json").json


def links(document: Any) -> Iterator[tuple[str, Any, str, Any]]:
    """Each link: whose it is, the answer that has it, its name, and itself."""
    for path, methods in document["paths"].items():
        for method, operation in methods.items():
            for status, answer in operation["responses"].items() if method != "parameters" else ():
                for name, link in answer.get("links", {}).items():
                    yield f"{method} {path} {status}", answer, name, link


def test_what_was_made_leads_to_what_may_be_asked_of_it(document: Any) -> None:
    """By the id that the answer gives, or by the code that a person gave; changed by its ETag."""
    of_lots = document["paths"]["/v1/lots"]["post"]["responses"]["201"]["links"]
    assert of_lots["get-trace"] == {
        "operationRef": "#/paths/~1v1~1lots~1{lot}~1trace/get",
        "parameters": {"lot": "$response.body#/id"},
    }
    assert of_lots["patch"]["parameters"] == {
        "lot": "$response.body#/id", "If-Match": "$response.header.ETag"
    }  # fmt: skip
    of_jobs = document["paths"]["/v1/jobs"]["post"]["responses"]["201"]["links"]
    assert of_jobs["get-needs"]["parameters"] == {"number": "$response.body#/number"}
    of_one = document["paths"]["/v1/jobs/{number}"]["get"]["responses"]["200"]["links"]
    assert of_one["patch"]["parameters"]["number"] == "$request.path.number"
    assert "get" not in of_one


def test_every_link_leads_to_an_operation_that_has_what_it_carries(document: Any) -> None:
    """Nothing points at an address, a name or a field that is not there."""
    found = list(links(document))
    assert len(found) > 40
    for whose, answer, name, link in found:
        path, _, method = link["operationRef"].removeprefix("#/paths/").rpartition("/")
        there = document["paths"][path.replace("~1", "/")]
        taken = there.get("parameters", []) + there[method].get("parameters", [])
        assert set(link["parameters"]) <= {each["name"] for each in taken}, (whose, name)
        for value in link["parameters"].values():
            if value.startswith("$response.body#/"):
                shape = answer["content"]["application/json"]["schema"]["$ref"].rpartition("/")[2]
                fields = document["components"]["schemas"][shape]["properties"]
                assert value.removeprefix("$response.body#/") in fields, (whose, name)


def test_a_link_leads_where_it_says(client: FlaskClient) -> None:
    """What a new job's answer gives opens the job, and its ETag changes it."""
    made = client.post("/v1/jobs", json={"number": "D-7", "title": "Stem", "craft": "Teal"})
    where = f"/v1/jobs/{made.json['number']}"
    assert where == made.headers["Location"]
    headers = {"If-Match": made.headers["ETag"]}
    assert client.patch(where, json={"title": "Stem and keel"}, headers=headers).status_code == 200
