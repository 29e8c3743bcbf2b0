"""Foam and flotation over the wire: worked examples, vents and lift first, bad input."""

from __future__ import annotations

from typing import Any

import pytest
from flask.testing import FlaskClient

from .... import makers
from ....putting import by_client

pytestmark = pytest.mark.only_on("sqlite")  # nothing here rests on what a database does

BOX = {"cavity": "box", "length": "1.2 m", "width": "0.3 m", "depth": "0.25 m",
       "lift": "100 mm", "vents": 4, "foam_density": "32 kg/m3"}  # fmt: skip
LEVEL = {"hull": [{"mass": "600 lb", "material": "frp"}], "deck": "200 lb",
         "foam_density": "2 lb/ft3"}  # fmt: skip
BASIC = {"persons": "600 lb", "weight_capacity": "1000 lb", "foam_density": "2 lb/ft3"}
CURE = makers.two_part_sheet(
    "ISO",
    mix={"kind": "two_part", "parts": [1, 1], "by": "mass"},
    surface="plain",
    reference={"temperature": "25 degC"},
    gel_times=[makers.gel_time("25 degC", "90 s", None)],
    milestones=None,
    build_max="80 mm",
)
FOAM = makers.product("POUR", "foam", cured_density="40 kg/m3", cure=CURE)


def estimate(client: FlaskClient, what: str, body: Any, units: str = "metric") -> dict[str, Any]:
    """The answer, which must be a good one."""
    response = client.post(f"/v1/estimates/{what}", json=body, query_string={"units": units})
    assert response.status_code == 200, response.text
    return dict(response.json or {})


def test_a_box_by_hand(client: FlaskClient) -> None:
    """1.2 x 0.3 x 0.25 m = 90 L; at 32 kg/m³ 2.88 kg, with waste 3.312; three lifts of 83.3 mm."""
    answer = estimate(client, "foam", BOX)
    assert [answer[line]["value"] for line in ("volume", "kit", "waste", "mix", "mix_a_lift")] == [
        90, 2.88, 0.432, 3.312, 1.104,
    ]  # fmt: skip
    assert (answer["lifts"], answer["lift"]["value"]) == (3, 83.3333)
    assert "Not a compliance figure" in answer["cautions"][0]


def test_one_cavity_three_ways(client: FlaskClient) -> None:
    """As a prism, by litres of water, and by its weight it takes the same kit."""
    same = {name: BOX[name] for name in ("depth", "lift", "vents", "foam_density")}
    ways: tuple[dict[str, Any], ...] = (
        {"cavity": "prism", "section": "0.075 m2", "length": "1.2 m"},
        {"cavity": "water", "water": "90 L"},
        {"cavity": "water", "water": "89.838 kg"},
    )
    for way in ways:
        answer = estimate(client, "foam", {**same, **way})
        assert answer["kit"]["value"] == 2.88
        assert any("narrow" in caution for caution in answer["cautions"])


@pytest.mark.parametrize("missing", ["vents", "lift"])
def test_no_figure_until_somebody_looked(client: FlaskClient, missing: str) -> None:
    """Neither vents nor lift are guessed, not even from a product."""
    body = {name: value for name, value in BOX.items() if name != missing}
    response = client.post("/v1/estimates/foam", json=body)
    assert response.status_code == 422
    assert f"/{missing}" in response.text


def test_a_products_own_figures(client: FlaskClient) -> None:
    """Its density in place; its thickest lift holds."""
    by_client(client, products=[makers.hardener("ISO"), FOAM])
    body = {**{k: v for k, v in BOX.items() if k != "foam_density"}, "product": "POUR"}
    assert estimate(client, "foam", {**body, "lift": "80 mm"})["kit"]["value"] == 3.6
    refused = client.post("/v1/estimates/foam", json=body)
    assert (refused.json or {})["type"].endswith("outside-limits")


def test_flotation(client: FlaskClient) -> None:
    """The hull worked by hand in tests/published: 6.589 ft³ are 186.59 L; wood floats."""
    answer = estimate(client, "flotation", LEVEL)
    assert answer["total"]["value"] == pytest.approx(186.59, abs=0.01)
    assert answer["factors"] == [0.33]
    assert "Not a compliance figure" in answer["cautions"][0]
    wood = estimate(client, "flotation", {**LEVEL, "deck": "0 lb", "hull": [
        {"mass": "600 lb", "specific_gravity": 0.55}]})  # fmt: skip
    assert wood["hull"]["value"] < 0 == wood["total"]["value"]
    assert any("Wood floats" in caution for caution in wood["cautions"])


def test_basic_flotation(client: FlaskClient) -> None:
    """80 + 100 lb; an air chamber of 10 gal adds the 62.4 lb/ft³ of its volume."""
    answer = estimate(client, "basic-flotation", BASIC, units="us")
    assert answer["buoyancy"] == {"value": 180, "unit": "lb"}
    more = estimate(client, "basic-flotation", {**BASIC, "chambers": ["10 gal"]}, units="us")
    assert more["buoyancy"]["value"] == pytest.approx(180 + 62.4 * 231 / 172.8, abs=1e-3)
    bare = estimate(client, "basic-flotation", {"persons": "0 lb", "weight_capacity": "9 lb"})
    assert bare["total"] is None


@pytest.mark.parametrize(
    ("what", "good", "bad"),
    [("foam", BOX, {"vents": 0}), ("foam", BOX, {"lift": "0 mm"}), ("foam", BOX, {"lift": "1 um"}),
     ("foam", BOX, {"length": "-1 m"}), ("foam", BOX, {"water": "3 L"}),
     ("foam", BOX, {"cavity": "prism"}), ("foam", BOX, {"cavity": "ball"}),
     ("foam", BOX, {"length": "900000000 m", "width": "900000000 m"}),
     ("foam", BOX, {"foam_density": None}), ("foam", BOX, {"vents": 1.5}),
     ("flotation", LEVEL, {"hull": []}), ("flotation", LEVEL, {"hull": [{"mass": "1 kg"}]}),
     ("flotation", LEVEL, {"hull": [{"mass": "1 kg", "material": "frp", "specific_gravity": 2}]}),
     ("flotation", LEVEL, {"foam_density": "70 lb/ft3"}),
     ("flotation", LEVEL, {"foam_density": "32 kg/m3", "take_up": "967.55 kg/m3",
                           "engines": "900000000 kg"}),
     ("basic-flotation", BASIC, {"persons": "1001 lb"}),
     ("basic-flotation", BASIC, {"chambers": ["0 L"]}),
     ("basic-flotation", BASIC, {"weight_capacity": "0 lb"})],
)  # fmt: skip
def test_bad_input(client: FlaskClient, what: str, good: Any, bad: Any) -> None:
    """A 4xx with words, whatever it is."""
    response = client.post(f"/v1/estimates/{what}", json={**good, **bad})
    assert 400 <= response.status_code < 500, response.text
    problem = response.json or {}
    assert problem["changed"] is False
    assert problem["detail"]
