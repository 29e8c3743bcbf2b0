"""Who is recorded beside what is done."""

from __future__ import annotations

from urllib.parse import quote

import pytest
from flask.testing import FlaskClient

from .. import tokened

TOY = {"number": "T-1", "title": "Cutter"}


def who(client: FlaskClient, **headers: str) -> str:
    """The name that an act is recorded under."""
    name: str = client.post("/v1/toys", json=TOY, headers=headers).json["who"]
    return name


def test_without_a_name_it_is_the_machines_own(client: FlaskClient) -> None:
    """As the service was told when it started."""
    assert who(client) == "Ines"


@pytest.mark.parametrize("name", ["Rui", "Åsa Ström", "王芳", "O'Neill", "x" * 64, "ş" * 64])
def test_a_name_is_taken_as_it_is(client: FlaskClient, name: str) -> None:
    """Percent-encoded, so that any name there is can be sent."""
    assert who(client, **{"Cureyard-Hand": quote(name)}) == name


NO_NAMES = ["", "%20", "%00", "a%0Ab", "%FF", "x" * 65, "%E2%80%AE", "---", "%C2%A0"]


@pytest.mark.parametrize("given", NO_NAMES)
def test_what_is_no_name_is_refused(client: FlaskClient, given: str) -> None:
    """Empty, unprintable, too long, or not UTF-8."""
    answer = client.post("/v1/toys", json=TOY, headers={"Cureyard-Hand": given})
    assert answer.status_code == 422
    assert answer.json["type"].endswith("/problems/validation")


@pytest.mark.parametrize("given", NO_NAMES)
def test_what_is_no_name_is_refused_beside_a_token(client: FlaskClient, given: str) -> None:
    """The token's own name would count; a slip of the pen is not passed over for that."""
    headers = {**tokened.given("Rui", "hand").bearer, "Cureyard-Hand": given}
    answer = client.post("/v1/toys", json=TOY, headers=headers)
    assert answer.status_code == 422
    assert answer.json["type"].endswith("/problems/validation")
