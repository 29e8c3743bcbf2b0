"""Pieces on sheets over the interface: offcuts first, and back to stock again."""

from __future__ import annotations

import time
from typing import Any
from xml.etree import ElementTree

import pytest
from flask.testing import FlaskClient

from .... import makers
from ....putting import by_client, post

pytestmark = pytest.mark.only_on("sqlite")  # nothing here rests on what a database does

PANEL = {"length": "800 mm", "width": "600 mm"}


@pytest.fixture
def yard(client: FlaskClient) -> FlaskClient:
    """A yard with three sheets of plywood, a drum, and a job."""
    by_client(
        client,
        products=[
            makers.product("PLY", "sheet", length="2.44 m", width="1.22 m"),
            makers.product("LAM", "resin"),
            makers.product("BARE", "sheet"),
        ],
        lots=[makers.lot("PLY", "3 pieces", "7")],
        jobs=[makers.job("J-1")],
    )
    return client


def sheets(client: FlaskClient, *pieces: dict[str, Any], **body: Any) -> Any:
    """What the estimate of sheets answers."""
    return post(client, "estimates/sheets", {"pieces": list(pieces), **body}, 200)


def test_one_sheet_and_what_is_left(yard: FlaskClient) -> None:
    """Four panels of one sheet; 834 mm of it is left, 0.341 of a sheet by area."""
    told = sheets(yard, {**PANEL, "count": 4}, product="PLY")
    (sheet,) = told["sheets"]
    assert (told["count"], sheet["number"], sheet["offcut"]) == (1, "7", False)
    assert told["kerf"] == {"value": 3.0, "unit": "mm"}
    assert sheet["offcuts"][0]["length"]["value"] == 834
    assert sheet["offcuts"][0]["share"].split()[0] == "0.341"
    assert told["waste"]["value"] == pytest.approx(2.44 * 1.22 - 4 * 0.48)
    assert told["needs"][0]["product"] == "PLY"
    kept = post(yard, "jobs/J-1/needs", {"needs": told["needs"]})["needs"]
    assert kept[0]["quantity"]["value"] == 1


def test_an_offcut_comes_back_and_is_cut_first(yard: FlaskClient) -> None:
    """Drawn, cut, brought back by its share with its sizes; the next list begins with it."""
    left = sheets(yard, {**PANEL, "count": 4}, product="PLY")["sheets"][0]["offcuts"][0]
    draw = {"kind": "draw", "product": "PLY", "quantity": "1 piece", "job": "J-1"}
    post(yard, "movements", draw)
    size = {side: f"{left[side]['value']} {left[side]['unit']}" for side in ("length", "width")}
    back = {"kind": "return", "lot": 1, "quantity": left["share"], "job": "J-1", "size": size}
    post(yard, "movements", back)
    told = sheets(yard, PANEL, {**PANEL, "length": "900 mm"}, product="PLY")
    first, second = told["sheets"]
    assert (first["offcut"], first["container"], first["length"]["value"]) == (True, "1.1", 834)
    assert [cut["ply"] for cut in first["cuts"]] == [1]
    assert (second["offcut"], told["count"]) == (False, 1)
    again = first["offcuts"][0]["share"].split()[0]
    assert 0 < float(again) < 0.341
    post(yard, "movements", {"kind": "draw", "lot": 2, "quantity": "all", "job": "J-1"})
    assert not sheets(yard, PANEL, product="PLY")["sheets"][0]["offcut"]


def test_what_the_store_has_not_is_to_buy(yard: FlaskClient) -> None:
    """Five large ones: three sheets are there, two are to buy."""
    told = sheets(yard, {"length": "1.5 m", "width": "1 m", "count": 5}, product="PLY")
    assert [sheet["number"] for sheet in told["sheets"]] == ["7", "7", "7", None, None]
    assert any("2 of the sheets of PLY are not" in words for words in told["cautions"])
    assert told["needs"][0]["quantity"].split()[0] == "5"


def test_grain_and_kerf(yard: FlaskClient) -> None:
    """Turned only where the grain is nothing; two halves fit without a kerf alone."""
    size = {"length": "1 m", "width": "1 m"}
    across = {"length": "500 mm", "width": "900 mm"}
    narrow = {"length": "1 m", "width": "450 mm", "pieces": [across]}
    no = post(yard, "estimates/sheets", narrow, 422)
    assert "Piece 1" in no["detail"]
    half = {"length": "1 m", "width": "500 mm", "count": 2}
    assert sheets(yard, half, **size, kerf="0 mm")["count"] == 1
    assert sheets(yard, half, **size, kerf="1 mm")["count"] == 2
    turned = sheets(yard, {"length": "400 mm", "width": "1.1 m", "turn": True},
                    length="1.2 m", width="500 mm")  # fmt: skip
    assert turned["sheets"][0]["cuts"][0]["turned"]
    assert turned["needs"] == []


@pytest.mark.parametrize(
    "body",
    [
        {"product": "PLY", "pieces": []},
        {"product": "PLY", "pieces": [{**PANEL, "count": 1000}]},
        {"product": "PLY", "pieces": [{"length": "0 mm", "width": "1 mm"}]},
        {"product": "PLY", "pieces": [{"length": "3 m", "width": "1 m"}]},
        {"product": "PLY", "kerf": "-1 mm", "pieces": [PANEL]},
        {"product": "PLY", "kerf": "3 cm", "pieces": [{**PANEL, "count": 101}]},
        {"product": "PLY", "kerf": "3 m", "pieces": [PANEL]},
        {"product": "PLY", "job": "NONE", "pieces": [PANEL]},
        {"length": "1 m", "pieces": [PANEL]},
        {"product": "LAM", "pieces": [PANEL]},
        {"product": "BARE", "pieces": [PANEL]},
        {"product": "NONE", "pieces": [PANEL]},
    ],
)
def test_what_can_not_be_cut(yard: FlaskClient, body: dict[str, Any]) -> None:
    """Refused in words; nothing is changed."""
    told = post(yard, "estimates/sheets", body, 422)
    assert told["detail"]
    assert not told["changed"]


@pytest.mark.parametrize("size", [(300, 200), (1300, 700)])
def test_a_long_list_is_soon_laid(yard: FlaskClient, size: tuple[int, int]) -> None:
    """The most that a list may have: many on a sheet, and a sheet each."""
    pieces = [{"length": f"{size[0] + n} mm", "width": f"{size[1] + n} mm"} for n in range(100)]
    begun = time.process_time()  # our own work, however busy the machine is
    sheets(yard, *pieces, product="PLY")
    assert time.process_time() - begun < 25


def test_the_drawing(yard: FlaskClient) -> None:
    """Every sheet under its heading."""
    body = {"product": "PLY", "pieces": [{"length": "1.5 m", "width": "1 m", "count": 4}]}
    answer = yard.post("/v1/estimates/sheets", json=body, headers={"Accept": "image/svg+xml"})
    texts = [text.text or "" for text in ElementTree.fromstring(answer.text).iter()]
    assert sum("Sheet, lot 7" in text for text in texts) == 3
    assert sum("A sheet to buy" in text for text in texts) == 1
