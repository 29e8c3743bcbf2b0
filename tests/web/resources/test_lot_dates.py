"""A lot's dates over HTTP: what they rest on, who may give them, and what pages make of them."""

from __future__ import annotations

from typing import Any

import pytest
from flask.testing import FlaskClient

from ... import makers
from ...acts import sample_yard as yard
from ...putting import by_client, post
from ..tokened import one_of_each

ASSUMED = "assumed from receipt: read the date on the drum"


@pytest.fixture
def stocked(client: FlaskClient) -> FlaskClient:
    """A drum without a date, and a hardener without a shelf life."""
    yard.set_up()
    by_client(client, lots=[makers.lot(number="B-7"), makers.lot("HARD", "5 kg", "H-1")])
    return client


def test_what_a_last_day_rests_on(stocked: FlaskClient) -> None:
    """In the lot, in the list, in what there is to see to, and in what bounds its life."""
    drum = stocked.get("/v1/lots/1").json
    assert (drum["expires_on"], drum["expires_basis"]) == (str(yard.day(180)), "received_on")
    assert drum["expires_note"] == ASSUMED
    told = stocked.get("/v1/now").json["lots"]
    assert [(lot["id"], lot["expires_basis"]) for lot in told["undated"]] == [
        (1, "received_on"), (2, "none"),
    ]  # fmt: skip
    life = stocked.get("/v1/lots/1/trace").json["life"]
    assert life == [{"bound": "receipt", "until_on": str(yard.day(180))}]


@pytest.mark.parametrize(
    ("page", "words"),
    [("/", "assumed until"), *((p, ASSUMED) for p in ("/lots", "/lots/1", "/products/LAM"))],
)
def test_a_page_says_that_it_is_assumed(stocked: FlaskClient, page: str, words: str) -> None:
    """Wherever the drum stands; and no more once somebody read it."""
    assert words in stocked.get(page).text
    given = stocked.patch(
        "/v1/lots/1", json={"expires_on": str(yard.day(99))}, headers={"If-Match": "*"}
    )
    assert (given.status_code, given.json["expires_basis"]) == (200, "stated")
    assert words not in stocked.get(page).text


@pytest.mark.parametrize("page", ["/", "/lots", "/lots/2", "/products/HARD"])
def test_a_page_says_that_no_shelf_life_is_known(stocked: FlaskClient, page: str) -> None:
    """Of what sets off a cure; a roll of mat has none to know."""
    assert "no shelf life known" in stocked.get(page).text.casefold()
    by_client(stocked, lots=[makers.lot("MAT", "5 m", "M-1")])
    assert "known" not in stocked.get("/lots/3").text


def test_a_hand_gives_a_date_and_a_lead_corrects_it(stocked: FlaskClient) -> None:
    """It is on the page of what happened to the lot, and the correction in the logbook."""
    people = one_of_each()
    hand, lead = ({**people[role].bearer, "If-Match": "*"} for role in ("hand", "lead"))
    body: dict[str, Any] = {"expires_on": str(yard.day(99)), "reason": "off the lid"}
    assert stocked.patch("/v1/lots/1", json=body, headers=hand).status_code == 200
    later = {"expires_on": str(yard.day(300)), "reason": "the month was misread"}
    refused = stocked.patch("/v1/lots/1", json=later, headers=hand)
    assert (refused.status_code, refused.json["type"].split("/")[-1]) == (403, "not-allowed")
    assert stocked.patch("/v1/lots/1", json=later, headers=lead).status_code == 200
    book = stocked.get("/v1/logbook", headers=lead).json["items"]
    assert book[0]["kind"] == "lot dated"
    assert book[0]["about"].endswith(f"good until {yard.day(300)}, was {yard.day(99)}")
    page = stocked.get("/lots/1", headers=lead).text
    assert f"dated, good until {yard.day(99)}" in page


def test_a_product_without_a_shelf_life_is_asked_for_one(client: FlaskClient) -> None:
    """In the answer, until it is given; a table's row says so too."""
    body = {"code": "RES", "name": "Resin", "role": "resin"}
    assert "No shelf life is known" in post(client, "products", body)["warnings"][0]
    change = {"json": {"shelf_life": "180 d"}, "headers": {"If-Match": "*"}}
    given = client.patch("/v1/products/RES", **change)
    assert given.json["warnings"] == []
    table = {"table": "code,name,role\nRES-2,Resin,resin\nMAT,Mat,reinforcement\n"}
    told = client.post("/v1/imports/products", json=table)
    assert told.json["new"] == ["RES-2 Resin, no shelf life known", "MAT Mat"]
