"""What the OpenAPI document says of operations beside their bodies and answers."""

from __future__ import annotations

import json
import re
from collections import Counter
from typing import Any

import pytest
from cureyard_service.web.openapi import meanings, vocabularies
from cureyard_service.web.openapi.links import METHODS
from flask.testing import FlaskClient

pytestmark = pytest.mark.only_on("sqlite")  # nothing here rests on what a database does

TOYS = frozenset({"EchoIn", "EchoOut", "ToyIn", "ToyOut", "ToyChange"})
"""Schemas of the tests' own resource."""


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
        schema = parameter["schema"]
        assert "$ref" in schema or isinstance(schema["type"], str), parameter
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


def test_every_field_says_what_it_is(client: FlaskClient) -> None:
    """Fields, queries and names in addresses: a sentence each, not only which units it takes."""
    document = client.get("/openapi.json").json
    schemas, paths = document["components"]["schemas"], document["paths"]
    document["components"]["schemas"] = {n: s for n, s in schemas.items() if n not in TOYS}
    document["paths"] = {path: told for path, told in paths.items() if "/toys" not in path}
    bare = []
    for schema, name, told in meanings.named(document):
        first = str(told.get("description", "")).split(". ")[0]
        if not first or meanings.is_of_units(first):
            bare.append(f"{schema}.{name}")
    assert bare == []
    assert sum(1 for _ in meanings.named(document)) > 1500


def test_each_meaning_is_used(client: FlaskClient) -> None:
    """A field that was renamed or removed leaves no meaning behind; each is a short sentence."""
    document = client.get("/openapi.json").json
    known = {name for _, name, _ in meanings.named(document)}
    known |= {f"{schema}.{name}" for schema, name, _ in meanings.named(document)}
    assert meanings.meanings().keys() <= known
    for name, meaning in meanings.meanings().items():
        assert meaning[0].isupper(), name
        assert meaning.endswith("."), name
        assert len(meaning) < 100, name


def test_a_quantity_has_one_shape_wherever_it_is_shown(client: FlaskClient) -> None:
    """A number and a unit; the place says which units it may have, and whether it may be null."""
    schemas = client.get("/openapi.json").json["components"]["schemas"]
    assert schemas["Quantity"]["required"] == ["value", "unit"]
    lot = schemas["LotOut"]["properties"]
    shown = {"$ref": "#/components/schemas/Quantity", "properties": {"unit": {"enum": ["m", "yd"]}}}
    assert lot["length"]["anyOf"] == [shown, {"type": "null"}]
    assert lot["on_hand"]["$ref"] == shown["$ref"]
    for name, schema in schemas.items():
        for told in schema.get("properties", {}).values():
            assert told.get("properties", {}).keys() <= {"unit"}, name


def test_words_that_are_shared_have_a_name(client: FlaskClient) -> None:
    """What is read is of the same type as what is entered; each name is used."""
    document = client.get("/openapi.json").json
    names = vocabularies.places().keys()
    schemas = {n: s for n, s in document["components"]["schemas"].items() if n not in TOYS}
    inline = [
        tuple(sorted(each["enum"]))
        for each in vocabularies.sets_of_words(
            [document["paths"], [s for n, s in schemas.items() if n not in names]]
        )
    ]
    assert [words for words, times in Counter(inline).items() if times > 1] == []
    assert not set(inline) & {tuple(sorted(schemas[name]["enum"])) for name in names}
    text = json.dumps(document)
    assert [name for name in names if f'schemas/{name}"' not in text] == []


def test_no_set_of_words_has_null_among_them(client: FlaskClient) -> None:
    """What may be null says so beside the words: programs make a type of the words alone."""
    document = client.get("/openapi.json").json
    assert "null" not in re.findall(r'"enum": \[[^]]*\b(null)\b', json.dumps(document))


def test_each_operation_has_a_name_of_its_own(paths: Any) -> None:
    """It is a good name of a function in any language, and what the trade would call it."""
    names = [
        operation["operationId"]
        for methods in paths.values()
        for method, operation in methods.items()
        if method in METHODS
    ]
    assert len(names) == len(set(names)) > 80
    assert all(re.fullmatch(r"[a-z]+(_[a-z]+)+", name) for name in names)
    assert {"list_lots", "add_lot", "change_lot", "estimate_roll", "work_out_dose"} <= set(names)


def test_every_operation_says_its_statuses(paths: Any) -> None:
    """Its answer, what it refuses, and what each status means."""
    for methods in paths.values():
        for method in set(METHODS) & methods.keys():
            statuses = methods[method]["responses"].keys()
            assert statuses & {"200", "201"}
            assert {"403", "404", "422", "503"} <= statuses


def test_a_problem_says_its_slug(client: FlaskClient) -> None:
    """Beside the address that ends in it."""
    told = client.get("/v1/jobs/X-1").json
    assert told["slug"] == "not-found"
    assert told["type"].endswith("/problems/not-found")
