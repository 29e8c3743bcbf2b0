"""The service as HTTP wants it: methods, what they answer, and conditions.

RFC 9110 (HTTP Semantics), each section beside its test; If-Match is in `test_versions`,
WWW-Authenticate in `test_tokens`, Retry-After in `test_keys` and `test_tokens`.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from flask.testing import FlaskClient

from ...engines import Engine
from ..addresses import address
from ..small_yard import BAY, JOB, LAYUP, LOT, POT, PRODUCT, digest, small_yard

pytestmark = pytest.mark.only_on("sqlite")  # nothing here rests on what a database does

METHODS = ("get", "post", "put", "patch", "delete", "trace")


@pytest.fixture(scope="module")
def yard(engine: Engine) -> Iterator[FlaskClient]:
    """The small yard."""
    with small_yard(engine) as client:
        yield client


@pytest.fixture(scope="module")
def paths(yard: FlaskClient) -> dict[str, Any]:
    """The description's addresses, with something in their holes, and their operations."""
    return {address(path): what for path, what in yard.get("/openapi.json").json["paths"].items()}


def test_looking_changes_nothing(yard: FlaskClient, paths: dict[str, Any]) -> None:
    """9.2.1: GET, HEAD and OPTIONS are safe, at every address."""
    before = digest()
    for path in paths:
        for method in ("GET", "HEAD", "OPTIONS"):
            assert yard.open(path, method=method).status_code < 500
    assert digest() == before


def test_head_is_get_without_its_content(yard: FlaskClient, paths: dict[str, Any]) -> None:
    """9.3.2: the same status and the same header fields, and nothing after them."""
    for path, operations in paths.items():
        if "get" in operations:
            whole, head = yard.get(path), yard.head(path)
            assert (head.status_code, head.data) == (whole.status_code, b"")
            assert set(head.headers.keys()) == set(whole.headers.keys())


def test_a_method_that_is_not_done_is_told_with_those_that_are(
    yard: FlaskClient, paths: dict[str, Any]
) -> None:
    """15.5.6 and 10.2.1: 405, with Allow naming what the description has, and HEAD and OPTIONS."""
    for path, operations in paths.items():
        done = {method.upper() for method in operations if method in METHODS} | {"OPTIONS"}
        done |= {"HEAD"} if "get" in operations else set()
        for method in METHODS:
            if method not in operations:
                answer = yard.open(path, method=method, headers={"If-Match": "*"})
                assert answer.status_code == 405, (method, path)
                assert set(answer.headers["Allow"].split(", ")) == done


def test_what_is_kept_may_not_be_used_again_unasked(yard: FlaskClient) -> None:
    """13.1.2 has 304 for what did not change; the ETag is a version for changes, not of stock.

    So no answer is taken from a cache (RFC 9111, 5.2.2.5), and a condition on it finds the
    whole thing, as 13.2.1 has it for a server that keeps no validator of a representation.
    """
    first = yard.get("/v1/lots/2")
    again = yard.get("/v1/lots/2", headers={"If-None-Match": first.headers["ETag"]})
    assert (again.status_code, again.json) == (200, first.json)
    assert first.headers["Cache-Control"] == "no-store"


def test_what_is_made_says_where_it_is(yard: FlaskClient) -> None:
    """15.3.2 and 10.2.2: 201 with a Location at which the new thing is, and is what was told.

    The last test of the file, since it is the one that writes.
    """
    for path, body in (
        ("/v1/products", PRODUCT), ("/v1/bays", BAY), ("/v1/jobs", JOB), ("/v1/lots", LOT),
        ("/v1/batches", POT), ("/v1/layups", LAYUP),
    ):  # fmt: skip
        made = yard.post(path, json=body)
        assert made.status_code == 201
        found = yard.get(made.headers["Location"])
        assert found.status_code == 200
        name = next(name for name in ("code", "number", "id") if name in made.json)
        assert found.json[name] == made.json[name]
