"""A vacuum bag's materials over the wire: the sums, the needs of a job, bad input."""

from __future__ import annotations

from typing import Any

import pytest
from flask.testing import FlaskClient

from .... import makers
from ....putting import by_client, post

pytestmark = pytest.mark.only_on("sqlite")  # nothing here rests on what a database does

PART = {"length": "1.2 m", "width": "600 mm"}


def estimate(client: FlaskClient, body: Any, status: int = 200) -> Any:
    """The answer."""
    response = client.post("/v1/estimates/bag", json=body)
    assert response.status_code == status, response.text
    return response.json


def test_a_bag_by_hand(client: FlaskClient) -> None:
    """1.2 × 1.5 × 0.9 m² of film, 1.3 × 0.7 of peel ply and breather, 1.2 × 4.4 m of tape."""
    answer = estimate(client, PART)
    areas = [answer[name]["value"] for name in ("film", "peel_ply", "breather")]
    assert areas == pytest.approx([1.62, 0.91, 0.91])
    assert answer["tape"] == {"value": 5.28, "unit": "m"}
    assert answer["needs"] == []


def test_its_products_become_a_job_s_needs(client: FlaskClient) -> None:
    """Sheets over the roll's width, in one piece each; tape in as many pieces as there are."""
    rolls = {"FILM": "1.5 m", "PEEL": "1 m", "BREATH": "1.3 m"}
    products = [makers.product(code, "bagging", width=wide) for code, wide in rolls.items()]
    by_client(client, products=[*products, makers.product("TAPE", "bagging")],
              jobs=[makers.job("D-7")])  # fmt: skip
    named = {"film": "FILM", "peel_ply": "PEEL", "breather": "BREATH", "tape": "TAPE"}
    needs = estimate(client, PART | named)["needs"]
    assert needs == [
        {"product": "FILM", "pieces": [{"length": "1.08 m", "count": 1}]},
        {"product": "PEEL", "pieces": [{"length": "0.91 m", "count": 1}]},
        {"product": "BREATH", "pieces": [{"length": "0.7 m", "count": 1}]},
        {"product": "TAPE", "quantity": "5.28 m"},
    ]
    kept = post(client, "jobs/D-7/needs", {"needs": needs})
    assert [each["product"] for each in kept["needs"]] == ["FILM", "PEEL", "BREATH", "TAPE"]


def test_what_is_not_on_a_roll_is_told(client: FlaskClient) -> None:
    """Counted by the piece, or without a width: no need, and a caution."""
    by_client(client, products=[makers.product("PACK", "sundry"), makers.product("F", "bagging")])
    answer = estimate(client, PART | {"tape": "PACK", "film": "F"})
    assert answer["needs"] == []
    told = " ".join(answer["cautions"])
    assert "PACK is not kept by length" in told
    assert "F has no width" in told


@pytest.mark.parametrize(
    "bad",
    [{"length": None}, {"length": "0 m"}, {"width": "101 m"}, {"margin": "600 mm"},
     {"pleats_percent": 101}, {"film": "NONE"}, {"length": "2 kg"}],
)  # fmt: skip
def test_bad_input(client: FlaskClient, bad: Any) -> None:
    """A 422 with words, whatever it is."""
    assert estimate(client, {**PART, **bad}, 422)["changed"] is False
