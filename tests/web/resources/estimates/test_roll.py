"""Plies on rolls over the interface: from which roll, what is needed, what is refused."""

from __future__ import annotations

import time
from typing import Any
from xml.etree import ElementTree

import pytest
from flask.testing import FlaskClient

from .... import makers
from ....putting import by_client, post

pytestmark = pytest.mark.only_on("sqlite")  # nothing here rests on what a database does

LONG = {"length": "2.2 m", "width": "400 mm"}
SHORT = {"length": "600 mm", "width": "500 mm"}


@pytest.fixture
def yard(client: FlaskClient) -> FlaskClient:
    """A yard with two rolls of mat, of 1.4 and of 1.2 m, a drum, and two jobs."""
    bare = makers.product("BARE", "reinforcement")
    by_client(
        client,
        products=[makers.mat(), makers.product("LAM", "resin"), bare],
        lots=[makers.lot("MAT", "1.4 m", "A"), makers.lot("MAT", "1.2 m", "B")],
        jobs=[makers.job("J-1"), makers.job("J-2")],
    )
    return client


def roll(client: FlaskClient, *plies: dict[str, Any], status: int = 200, **body: Any) -> Any:
    """What the estimate of a roll answers."""
    return post(client, "estimates/roll", {"plies": list(plies), **body}, status)


def test_the_roll_that_is_just_enough(yard: FlaskClient) -> None:
    """Two plies side by side: 0.6 m off the shorter roll; by hand 0.48 m by area, 20 % over."""
    told = roll(yard, {**SHORT, "count": 2}, product="MAT")
    assert told["length"] == {"value": 0.6, "unit": "m"}
    assert told["bound"] == {"value": 0.48, "unit": "m"}
    assert told["waste_percent"] == 20
    assert told["waste"]["value"] == pytest.approx(0.15)
    (used,) = told["rolls"]
    assert (used["number"], used["free"]["value"]) == ("B", 1.2)
    assert [cut["edge"]["value"] for cut in used["cuts"]] == [0, 500]
    assert told["turn"] == "half"


def test_it_is_posted_to_a_job_as_it_stands(yard: FlaskClient) -> None:
    """The needs, and then a roll that is kept for one job is not another's."""
    told = roll(yard, {**SHORT, "count": 4}, product="MAT")
    assert told["needs"] == [{"product": "MAT", "pieces": [{"length": "0.6 m", "count": 2}]}]
    post(yard, "jobs/J-1/needs", {"needs": told["needs"]})
    assert {roll["number"] for roll in told["rolls"]} == {"B"}
    again = roll(yard, {**SHORT, "count": 2}, product="MAT", job="J-2")
    assert [roll["number"] for roll in again["rolls"]] == ["A"]
    own = roll(yard, {**SHORT, "count": 2}, product="MAT", job="J-1")
    assert [roll["number"] for roll in own["rolls"]] == ["B"]


def test_two_rolls_each_ply_of_one(yard: FlaskClient) -> None:
    """2.1 m in all: no roll has it, so they are shared out, and no ply is joined."""
    told = roll(yard, {"length": "700 mm", "width": "1.2 m", "count": 3}, product="MAT")
    assert [(r["number"], r["length"]["value"]) for r in told["rolls"]] == [("A", 1.4), ("B", 0.7)]
    assert told["splits"] == []
    assert any("No one roll" in words for words in told["advice"])


def test_a_ply_on_no_one_roll(yard: FlaskClient) -> None:
    """2.2 m: one to buy, or split over both with 50 mm of overlap."""
    told = roll(yard, LONG, product="MAT", fabric="mat")
    assert [r["lot"] for r in told["rolls"]] == [None]
    (split,) = told["splits"]
    assert [part["number"] for part in split["parts"]] == ["A", "B"]
    assert sum(part["length"]["value"] for part in split["parts"]) == 2250
    assert (split["overlap"]["value"], split["joints_apart"]["value"]) == (50, 100)
    assert any("overlapped by 50 mm" in words for words in told["advice"])
    assert not any("designer" in words for words in told["cautions"])
    assert any("designer" in words for words in roll(yard, LONG, product="MAT")["cautions"])


def test_a_ply_that_would_take_what_others_do(yard: FlaskClient) -> None:
    """With a short one on the longer roll, two do only if that one comes from elsewhere."""
    told = roll(yard, LONG, {"length": "1 m", "width": "1.2 m"}, product="MAT", fabric="mat")
    assert told["splits"][0]["before_others"]
    assert any("others come off other rolls" in words for words in told["advice"])


def test_held_and_out_of_date_rolls_are_no_rolls(yard: FlaskClient) -> None:
    """The roll that has the length is held, and one more is expired: one to buy."""
    old = {"product": "MAT", "number": "C", "quantity": "9 m", "expires_on": "2001-01-31"}
    post(yard, "lots", old)
    held = {"held": True, "reason": "wet"}
    done = yard.patch("/v1/lots/1", json=held, headers={"If-Match": "*"})
    assert done.status_code == 200, done.json
    told = roll(yard, {"length": "1.3 m", "width": "1 m"}, product="MAT")
    assert [used["lot"] for used in told["rolls"]] == [None]


def test_mat_is_turned_and_other_cloth_is_not(yard: FlaskClient) -> None:
    """600 × 1300 goes on 1.25 m only across."""
    wide = {"length": "600 mm", "width": "1300 mm"}
    for fabric in ("mat", "woven"):
        told = roll(yard, wide, width="1.25 m", fabric=fabric)
        assert told["rolls"][0]["cuts"][0]["turned"]
        assert told["turn"] == "quarter"
        assert any("same fibre" in words for words in told["cautions"]) == (fabric == "woven")
    for fabric in ({}, {"fabric": "unidirectional"}, {"fabric": "multidirectional"}):
        no = roll(yard, SHORT, wide, width="1.25 m", status=422, **fabric)
        assert no["detail"].startswith("Piece 2 is 600 mm along")
        assert no["pointer"] == "/plies/1"
        assert "wider roll" in no["advice"]


def test_an_oval_leaves_its_corners(yard: FlaskClient) -> None:
    """What is left over counts the shape, not the rectangle about it: 1 - π/4."""
    told = roll(yard, {"shape": "round", "length": "1.25 m"}, width="1.25 m")
    assert told["waste_percent"] == 21.5
    assert told["needs"] == []


@pytest.mark.parametrize(
    "body",
    [
        {"width": "1.25 m", "plies": []},
        {"width": "1.25 m", "plies": [{**SHORT, "count": 1000}]},
        {"width": "1.25 m", "plies": [SHORT] * 1000},
        {"width": "1.25 m", "plies": [{**SHORT, "count": 100}, {**SHORT, "count": 100}]},
        {"width": "1.25 m", "plies": [{"length": "0 m", "width": "1 m"}]},
        {"width": "1.25 m", "plies": [{"length": "-1 m", "width": "1 m"}]},
        {"width": "1.25 m", "plies": [{"length": "1 m"}]},
        {"width": "1.25 m", "plies": [{"length": "101 m", "width": "1 m"}]},
        {"width": "0 m", "plies": [SHORT]},
        {"plies": [SHORT]},
        {"product": "LAM", "plies": [SHORT]},
        {"product": "BARE", "plies": [SHORT]},
        {"product": "NONE", "plies": [SHORT]},
        {"product": "MAT", "job": "NONE", "plies": [SHORT]},
        {"width": "1.25 m", "fabric": "tweed", "plies": [SHORT]},
    ],
)
def test_what_can_not_be_cut(yard: FlaskClient, body: dict[str, Any]) -> None:
    """Refused in words, with what to do."""
    told = post(yard, "estimates/roll", body, 422)
    assert told["detail"]
    assert not told["changed"]


def test_a_long_list_is_soon_laid(yard: FlaskClient) -> None:
    """The most that a list may have, each unlike the others and free to turn."""
    plies = [{"length": f"{300 + n} mm", "width": f"{700 - 3 * n} mm"} for n in range(100)]
    begun = time.process_time()  # our own work, however busy the machine is
    roll(yard, *plies, product="MAT", fabric="mat")
    assert time.process_time() - begun < 20


def test_as_many_cuts_as_a_list_may_have_are_as_many_pieces_of_a_need(yard: FlaskClient) -> None:
    """Each over the whole width and unlike the others; a job takes them as they stand."""
    plies = [{"length": f"{300 + n} mm", "width": "1.25 m"} for n in range(100)]
    needs = roll(yard, *plies, product="MAT")["needs"]
    assert len(needs[0]["pieces"]) == 100
    post(yard, "jobs/J-1/needs", {"needs": needs})


def test_the_drawing(yard: FlaskClient) -> None:
    """Well-formed; a hostile name is words; every ply is on it with its number."""
    body = {"product": "MAT", "plies": [
        {**SHORT, "name": "</svg><script>"}, {"shape": "oval", "length": "25 in", "width": "20 in"},
    ]}  # fmt: skip
    answer = yard.post(
        "/v1/estimates/roll?units=us", json=body, headers={"Accept": "image/svg+xml"}
    )
    assert answer.mimetype == "image/svg+xml"
    drawing = ElementTree.fromstring(answer.text)
    texts = [text.text for text in drawing.iter("{http://www.w3.org/2000/svg}text")]
    assert {"1", "2", "</svg><script>", "25 in × 20 in"} <= set(texts)
    assert not list(drawing.iter("{http://www.w3.org/2000/svg}script"))
    assert len(list(drawing.iter("{http://www.w3.org/2000/svg}ellipse"))) == 1
