"""Bad input of which more is held than `test_corpus` does: what else the answer tells."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from ...engines import Engine
from ..small_yard import DOSE, LOT, NOON, POT, READING, digest, small_yard


@pytest.fixture(scope="module")
def yard(engine: Engine) -> Iterator[FlaskClient]:
    """The small yard: one for all, since nothing may change it."""
    with small_yard(engine) as client:
        yield client


def refused(client: FlaskClient, path: str, status: int, slug: str, **sent: Any) -> dict[str, Any]:
    """Send what must be refused, see that no row is another, give its words."""
    before = digest()
    answer: TestResponse = client.post(path, **sent)
    assert answer.status_code == status, answer.text
    told: dict[str, Any] = answer.get_json()
    assert told["type"] == f"http://localhost/problems/{slug}"
    assert digest() == before
    return told


def test_a_missing_unit_says_which_fit(yard: FlaskClient) -> None:
    """The hand learns what to write."""
    told = refused(yard, "/v1/lots", 422, "unit-missing", json={**LOT, "quantity": "12"})
    assert "kg" in told["detail"] + told["advice"]


@pytest.mark.parametrize("percent", [0.99, 3.01, 50])
@pytest.mark.parametrize("path", ["/v1/doses", "/v1/batches"])
def test_a_percent_outside_the_limits(yard: FlaskClient, path: str, percent: float) -> None:
    """The limits are in the answer, for the hand and for a program."""
    body = (DOSE if path == "/v1/doses" else POT) | {"catalyst_percent": percent}
    told = refused(yard, path, 422, "outside-limits", json=body)
    assert (told["least"], told["greatest"]) == (1.0, 3.0)


def test_two_readings_of_one_moment_that_differ(yard: FlaskClient) -> None:
    """Against the store, within one post, and in a logger's file: 409, and none is kept."""
    path, other = "/v1/bays/SHED/readings", {**READING, "temperature": "18.5 degC"}
    fresh = {"at": "2026-03-20T09:00:00Z", "temperature": "19 degC"}
    twice = [fresh, {**fresh, "temperature": "20 degC"}]
    refused(yard, path, 409, "reading-differs", json={"readings": [fresh, other]})
    refused(yard, path, 409, "reading-differs", json={"readings": twice})
    refused(
        yard, path, 409, "reading-differs", content_type="text/csv",
        data=f"at,temperature\n2026-03-20T09:00:00Z,19 degC\n{NOON},18.5 degC\n",
    )  # fmt: skip


def test_several_faults_are_told_together(yard: FlaskClient) -> None:
    """Each with its pointer and its own slug."""
    body = {**LOT, "quantity": "12", "made_on": "soon", "number": "?"}
    told = refused(yard, "/v1/lots", 422, "validation", json=body)
    assert {(each["pointer"], each["slug"]) for each in told["errors"]} == {
        ("/quantity", "unit-missing"), ("/made_on", "validation"), ("/number", "validation"),
    }  # fmt: skip


def test_what_an_earlier_moment_knew(yard: FlaskClient) -> None:
    """As known in 1971 or in the year 2999 a layup is still shown."""
    for year in (1971, 2999):
        moment = f"{year}-01-02T00:00:00Z"
        assert yard.get(f"/v1/layups/1?as_known_at={moment}").status_code == 200
