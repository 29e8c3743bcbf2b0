"""What the acts say is said in the reader's units, on every way out."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from flask.testing import FlaskClient

from ... import makers
from ...engines import Engine
from ...putting import by_client
from ..small_yard import DOSE, small_yard

COLD = {**DOSE, "resin": "COLD", "temperature": "10 degC"}


@pytest.fixture
def yard(engine: Engine) -> Iterator[FlaskClient]:
    """The small yard, and a resin that may not be laid up under 15 °C."""
    with small_yard(engine) as client:
        cold = makers.resin("COLD", cure=makers.sheet(apply_min="15 degC"))
        by_client(client, products=[cold])
        yield client


@pytest.mark.parametrize(
    ("query", "said"),
    [("", "10.0 °C is too cold to lay this product up: its least temperature is 15.0 °C."),
     ("?units=us", "50 °F is too cold to lay this product up: its least temperature is 59 °F."),
     ("?units=metric",
      "10.0 °C is too cold to lay this product up: its least temperature is 15.0 °C.")],
)  # fmt: skip
def test_a_refusal(yard: FlaskClient, query: str, said: str) -> None:
    """By the query, else by the yard's habit."""
    answer = yard.post(f"/v1/doses{query}", json=COLD)
    assert (answer.status_code, answer.json["detail"]) == (422, said)


def test_the_yards_habit(yard: FlaskClient) -> None:
    """A yard that works in pounds is told in them."""
    assert (
        yard.patch("/v1/yard", json={"units": "us"}, headers={"If-Match": "*"}).status_code == 200
    )
    assert "59 °F" in yard.post("/v1/doses", json=COLD).json["detail"]


def test_an_answer(yard: FlaskClient) -> None:
    """Advice in inches, and no millimetre."""
    body: dict[str, Any] = {"thickness": "0.25 in", "stack": [{"thickness": "1.5 mm"}]}
    for units, word in (("us", " in "), ("metric", " mm ")):
        answer = yard.post(f"/v1/estimates/plies?units={units}", json=body)
        assert answer.status_code == 200
        assert all(word in each for each in answer.json["advice"])


def test_units_that_are_none_are_refused_as_ever(yard: FlaskClient) -> None:
    """The words of that refusal need no units."""
    answer = yard.post("/v1/doses?units=stone", json=COLD)
    assert answer.status_code == 422
    assert answer.json["type"].endswith("/problems/validation")


def test_characters_of_private_use_can_not_be_typed(yard: FlaskClient) -> None:
    """What each machine shows differently is no name."""
    body = {"number": "X-1", "title": "\ue000a", "craft": "Teal"}
    assert yard.post("/v1/jobs", json=body).status_code == 422
