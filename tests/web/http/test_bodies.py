"""Bodies that are read strictly, up to their limits; what can't be read is in the corpus.

OWASP API Security Top 10 (2023): API4 unrestricted resource consumption. RFC 9110, 15.5.14
(413) and 15.5.16 (415).
"""

from __future__ import annotations

import json

import pytest
from cureyard_service.store import tables
from cureyard_service.web.http.bodies import CSV_LIMIT, JSON_LIMIT, NESTING_LIMIT, parse_json
from cureyard_service.web.problems import Unreadable
from flask.testing import FlaskClient
from hypothesis import given
from hypothesis import strategies as st

pytestmark = pytest.mark.only_on("sqlite")  # nothing here rests on what a database does

TOY = {"number": "T-1", "title": "Cutter"}


def post(client: FlaskClient, raw: bytes, kind: str | None = "application/json") -> tuple[int, str]:
    """Status and slug of the answer to a raw body."""
    answer = client.post("/v1/toys", data=raw, content_type=kind)
    assert answer.mimetype == "application/problem+json"
    assert answer.json["changed"] is False
    assert tables.Job.select().count() == 0
    return answer.status_code, answer.json["type"].rpartition("/")[2]


@pytest.mark.parametrize(
    "kind", ["application/json", "application/json; charset=utf-8", "application/merge-patch+json"]
)
def test_json_is_taken_as_utf_8(client: FlaskClient, kind: str) -> None:
    """With a byte order mark or without."""
    for number, mark in enumerate((b"", b"\xef\xbb\xbf")):
        raw = (
            mark + json.dumps({"number": f"T{number}", "title": "Ålö"}, ensure_ascii=False).encode()
        )
        assert client.post("/v1/toys", data=raw, content_type=kind).json["title"] == "Ålö"


def test_json_over_a_mebibyte_is_too_large(client: FlaskClient) -> None:
    """To the byte; and a length that lies about it changes nothing."""
    for size, expected in ((JSON_LIMIT, 422), (JSON_LIMIT + 1, 413)):
        raw = json.dumps({"number": "T-1", "title": ""}).encode()
        raw = raw.replace(b'""', b'"' + b"x" * (size - len(raw)) + b'"')
        assert len(raw) == size
        assert post(client, raw)[0] == expected


@pytest.mark.parametrize(("left", "right"), [(b"[", b"]"), (b'{"a":', b"}")])
def test_json_is_read_as_deep_as_anything_is_asked(left: bytes, right: bytes) -> None:
    """To the limit, and not one deeper."""
    parse_json(left * NESTING_LIMIT + b"1" * (left != b"[") + right * NESTING_LIMIT)
    with pytest.raises(Unreadable, match="too deep"):
        parse_json(left * (NESTING_LIMIT + 1) + b"1" + right * (NESTING_LIMIT + 1))


def test_a_table_may_be_larger(client: FlaskClient) -> None:
    """Sixteen mebibytes, where a table is taken at all."""
    raw = b"T-1," + b"x" * (2 * JSON_LIMIT)
    assert post(client, raw, "text/csv") == (422, "validation")
    assert post(client, b"x" * (CSV_LIMIT + 1), "text/csv") == (413, "too-large")
    answer = client.post("/v1/toys/echo", data=b"x", content_type="text/csv")
    assert answer.status_code == 422  # the echo's body can be a table too


def test_a_table_is_read_where_the_body_knows_how(client: FlaskClient) -> None:
    """And is then judged as the object that it stands for."""
    answer = client.post("/v1/toys", data=b"\xef\xbb\xbfT-1,Cutter\n", content_type="text/csv")
    assert (answer.status_code, answer.json["title"]) == (201, "Cutter")


def test_a_table_is_refused_where_none_is_wanted(client: FlaskClient) -> None:
    """A change of a toy takes JSON alone."""
    answer = client.patch(
        "/v1/toys/T-1", data=b"Yawl", content_type="text/csv", headers={"If-Match": "*"}
    )
    assert answer.status_code == 415


PLAIN = st.recursive(
    st.none() | st.booleans() | st.integers(-(2**63), 2**63) | st.text()
    | st.floats(allow_nan=False, allow_infinity=False),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(), inner, max_size=4),
    max_leaves=20,
)  # fmt: skip


@given(PLAIN)
def test_plain_json_is_read_as_it_was_meant(value: object) -> None:
    """Whatever there is in it, escaped or not."""
    for ascii_only in (True, False):
        assert parse_json(json.dumps(value, ensure_ascii=ascii_only).encode()) == value
