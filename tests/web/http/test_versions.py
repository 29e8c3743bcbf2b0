"""A change says what it changes, and nobody's change is lost unseen.

RFC 9110, 13.1.1 (If-Match, by strong comparison, or the star) and 15.5.13 (412); RFC 6585, 3
(428). What is refused is in `corpus.headers`.
"""

from __future__ import annotations

import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse


def change(client: FlaskClient, if_match: str | None) -> TestResponse:
    """Change the toy's title."""
    headers = {} if if_match is None else {"If-Match": if_match}
    return client.patch("/v1/toys/T-1", json={"title": "Yawl"}, headers=headers)


@pytest.fixture(autouse=True)
def toy(client: FlaskClient) -> None:
    """A toy at version 1."""
    client.post("/v1/toys", json={"number": "T-1", "title": "Cutter"})


@pytest.mark.parametrize("if_match", ['"1"', "*", '"7", "1"', "1"])
def test_a_change_of_what_stands_is_made(client: FlaskClient, if_match: str) -> None:
    """The version, a list with it, or the star; the answer has the next version's tag."""
    answer = change(client, if_match)
    assert answer.status_code == 200
    assert answer.headers["ETag"] == '"2"'
    assert client.get("/v1/toys/T-1").headers["ETag"] == '"2"'


def test_of_two_changes_of_one_version_the_second_is_refused(client: FlaskClient) -> None:
    """Two people read version 1; the one who comes later must read again."""
    assert change(client, '"1"').status_code == 200
    assert change(client, '"1"').status_code == 412
