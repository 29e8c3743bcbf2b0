"""What the acts say is said in the reader's units, on every way out."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import pytest
from flask.testing import FlaskClient

from ... import makers
from ...engines import Engine
from ...putting import by_client
from ..small_yard import DOSE, LAYUP, POT, small_yard

COLD = {**DOSE, "resin": "COLD", "temperature": "10 degC"}
CHILLY = {"day": "9 degC", "night": "4 degC"}
WAYS = (
    "/v1/now", "/v1/batches", "/v1/batches/2", "/v1/layups", "/v1/layups/2", "/v1/calendar.ics",
    "/", "/batches/2", "/layups/2", "/jobs/D-7",
)  # fmt: skip
"""Where a temperature is told of a pot and a layup in a cold shed."""


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


def in_the_cold(yard: FlaskClient, **facts: Any) -> Any:
    """The answer to a layup of a pot that was mixed in a cold shed."""
    assert yard.patch("/v1/bays/SHED", json=CHILLY, headers={"If-Match": "*"}).status_code == 200
    mixed = yard.post("/v1/batches", json={**POT, "bay": "SHED"})
    assert any("may go under" in word for word in mixed.json["warnings"])
    laid = {**LAYUP, "batches": [2], "surface_temperature": "5 degC", **facts}
    return yard.post("/v1/layups", json=laid)


@pytest.mark.parametrize(("units", "own", "other"), [("us", "°F", "°C"), ("metric", "°C", "°F")])
def test_every_way_out(yard: FlaskClient, units: str, own: str, other: str) -> None:
    """Each answer and page says its temperatures once, in the units asked for."""
    laid = in_the_cold(yard)
    assert any("Colder than it may be laid up" in word for word in laid.json["warnings"])
    for way in WAYS:
        answer = yard.get(f"{way}?units={units}")
        assert answer.status_code == 200, way
        assert (own in answer.text, other in answer.text) == (True, False), way
        assert not re.search(r'Words\(|Amount\(|"us":|{}', answer.text), way


def test_the_logbook_keeps_the_yards_units(yard: FlaskClient) -> None:
    """It is read as it was written, by whoever reads it."""
    yard.patch("/v1/yard", json={"units": "us"}, headers={"If-Match": "*"})
    laid = in_the_cold(yard, thickness="30 mm", override={"reason": "cooled"})
    assert laid.status_code == 201
    entries = yard.get("/v1/logbook?units=metric").json["items"]
    (about,) = [each["about"] for each in entries if each["kind"] == "overridden"]
    assert "1.18 in at once is over the greatest build" in about


def test_units_that_are_none_are_refused_as_ever(yard: FlaskClient) -> None:
    """The words of that refusal need no units."""
    answer = yard.post("/v1/doses?units=stone", json=COLD)
    assert answer.status_code == 422
    assert answer.json["type"].endswith("/problems/validation")


def test_characters_of_private_use_can_not_be_typed(yard: FlaskClient) -> None:
    """What each machine shows differently is no name."""
    body = {"number": "X-1", "title": "\ue000a", "craft": "Teal"}
    assert yard.post("/v1/jobs", json=body).status_code == 422
