"""Tapers, laminates, ply counts and tabbings over the interface: what they answer and refuse."""

from __future__ import annotations

from typing import Any

import pytest
from flask.testing import FlaskClient

from .... import makers
from ....putting import by_client

pytestmark = pytest.mark.only_on("sqlite")  # nothing here rests on what a database does

MAT: dict[str, Any] = {"areal_weight": "300 g/m2", "fabric": "mat", "count": 1}
WOVEN: dict[str, Any] = {"areal_weight": "600 g/m2", "fabric": "woven", "count": 1}
PATCH: dict[str, Any] = {
    "shape": "patch", "hole": {"length": "100 mm"}, "thickness": "6 mm", "plies": 3,
}  # fmt: skip
TAB: dict[str, Any] = {"length": "1.8 m", "plies": 3, "leg": "100 mm", "radius": "12 mm"}


def ask(client: FlaskClient, sum_: str, body: dict[str, Any], units: str = "metric") -> Any:
    """What an estimate answers."""
    answer = client.post(f"/v1/estimates/{sum_}?units={units}", json=body)
    assert answer.status_code == 200, answer.text
    return answer.json


def mm(quantities: list[dict[str, Any]], name: str) -> list[float]:
    """One size of every ply, in mm."""
    return [each[name]["value"] for each in quantities]


def test_a_quarter_inch_seam(client: FlaskClient) -> None:
    """12:1 on 1/4 in is 3 in a side; the strip that covers it all is 6 in."""
    seam = {"shape": "seam", "length": "4 ft", "thickness": "1/4 in", "plies": 2}
    found = ask(client, "taper", seam, "us")
    assert found["ground_width"] == {"value": 3.0, "unit": "in"}
    assert [ply["width"]["value"] for ply in found["plies"]] == [6.0, 3.0]
    assert found["plies"][0]["length"] == {"value": 48.0, "unit": "in"}


def test_both_orders_of_equal_plies(client: FlaskClient) -> None:
    """`plies` is the wanted order's; the two mirror each other; ply 1 is laid first in both."""
    found = ask(client, "taper", PATCH)
    sizes = found["sizes"]
    assert mm(sizes["largest_first"], "length") == [244, 196, 148]
    assert mm(sizes["smallest_first"], "length") == [148, 196, 244]
    assert found["plies"] == sizes["largest_first"]
    assert found["orders"] == {"smallest_first": [1, 2, 3], "largest_first": [1, 2, 3]}
    assert set(found["meaning"]) == {"smallest_first", "largest_first"}
    turned = ask(client, "taper", {**PATCH, "order": "smallest_first"})
    assert turned["plies"] == sizes["smallest_first"]


def test_a_stack_with_thickness_left_over(client: FlaskClient) -> None:
    """Mat and roving are 1.48 mm; of 2 mm that leaves 0.52, said in words as well."""
    body = {**PATCH, "thickness": "2 mm", "stack": [MAT, WOVEN]}
    del body["plies"]
    found = ask(client, "taper", body)
    assert found["left_over"]["value"] == pytest.approx(0.5235, abs=1e-3)
    assert any("0.52 mm is left over" in words for words in found["advice"])
    assert [ply["name"] for ply in found["plies"]] == ["mat 300 g/m²", "woven 600 g/m²"]
    proud = ask(client, "taper", {**body, "thickness": "1 mm"})
    assert proud["proud"]["value"] == pytest.approx(0.4765, abs=1e-3)
    assert any("overruns" in words for words in proud["cautions"])


def test_without_a_thickness_the_stack_is_the_skin(client: FlaskClient) -> None:
    """Nothing is left over then."""
    body = {"shape": "seam", "length": "1 m", "stack": [{"thickness": "1 mm", "count": 4}]}
    found = ask(client, "taper", body)
    assert found["thickness"]["value"] == 4
    assert found["ground_width"]["value"] == 48
    assert found["left_over"]["value"] == 0


def test_a_flange_in_the_way(client: FlaskClient) -> None:
    """30 mm of room on 6 mm is 5:1: a stop on what may be structural, a caution on what is not."""
    found = ask(client, "taper", {**PATCH, "room": "30 mm", "structural": "yes"})
    assert found["short_side"] == {"room": {"value": 30.0, "unit": "mm"}, "ratio": 5.0}
    assert found["verdict"] == "stop"
    assert mm(found["plies"], "short_reach") == [30, 20, 10]
    assert found["plies"][0]["width"]["value"] == 100 + 72 + 30
    assert ask(client, "taper", {**PATCH, "room": "30 mm"})["verdict"] == "stop"
    cosmetic = ask(client, "taper", {**PATCH, "room": "30 mm", "structural": "no"})
    assert cosmetic["verdict"] == "caution"


def test_from_both_sides(client: FlaskClient) -> None:
    """Half the ground on each face."""
    found = ask(client, "taper", {**PATCH, "plies": 4, "sides": 2})
    assert found["ground_width"]["value"] == 36
    assert [ply["face"] for ply in found["plies"]] == [1, 1, 2, 2]
    odd = ask(client, "taper", {**PATCH, "plies": 3, "sides": 2})
    assert any("part evenly" in words for words in odd["cautions"])


def test_a_sharp_corner_is_told(client: FlaskClient) -> None:
    """A rectangular hole wants its corners round; the plies' corners grow with them."""
    hole = {"length": "100 mm", "width": "60 mm"}
    assert any("Round" in w for w in ask(client, "taper", {**PATCH, "hole": hole})["cautions"])
    found = ask(client, "taper", {**PATCH, "hole": {**hole, "corner": "10 mm"}})
    assert mm(found["plies"], "corner") == [82, 58, 34]


def test_products_of_the_store_in_a_stack(client: FlaskClient) -> None:
    """A product's own weight and fraction, and the resin's own cured density."""
    by_client(client, products=[
        makers.mat("MAT-450", fibre_fraction=0.3),
        makers.mat("CARBON", areal_weight="200 g/m2", chemistry="carbon"),
        makers.product("BARE", "reinforcement", fibre_fraction=0.3),
        makers.product("VE", "resin", cured_density="1.12 kg/L"),
    ])  # fmt: skip
    stack = [{"product": "MAT-450", "count": 2}]
    found = ask(client, "laminate", {"stack": stack, "area": "2 m2"})
    assert found["thickness"]["value"] == pytest.approx(2.1016, abs=1e-4)
    assert found["fibre"] == {"value": 1.8, "unit": "kg"}
    assert found["resin"] == {"value": 4.2, "unit": "kg"}
    assert found["mix"]["value"] == pytest.approx(4.2 * 1.15)
    assert found["other"] is None
    lighter = ask(client, "laminate", {"stack": stack, "resin": "VE"})
    assert lighter["thickness"]["value"] > found["thickness"]["value"]
    assert lighter["resin"] is None
    woven = [{"product": "CARBON", "fabric": "woven", "count": 1}]
    assert "CARBON" in ask(client, "laminate", {"stack": woven})["cautions"][0]
    for wrong in ([{"product": "CARBON", "count": 1}], [{"product": "BARE", "count": 1}]):
        answer = client.post("/v1/estimates/laminate", json={"stack": wrong})
        assert (answer.status_code, slug(answer.json)) == (422, "cure-sheet-missing")
        assert "/stack/0" in answer.text


def test_polyester_wants_a_mat_first(client: FlaskClient) -> None:
    """Cloth against the old laminate is told, with polyester and only with it."""
    by_client(client, products=[
        makers.product(code, "resin", chemistry=code) for code in ("polyester", "epoxy")
    ])  # fmt: skip
    seam = {"shape": "seam", "length": "1 m"}

    def told(resin: str, *stack: dict[str, Any]) -> bool:
        found = ask(client, "taper", {**seam, "resin": resin, "stack": list(stack)})
        return any("should be a mat" in words for words in found["cautions"])

    assert told("polyester", WOVEN, MAT)
    assert not told("polyester", MAT, WOVEN)
    assert not told("epoxy", WOVEN, MAT)


def test_mat_with_cloth_counted_both_ways(client: FlaskClient) -> None:
    """The answer says which way it used, and has the other beside it."""
    pair = [{**MAT, "areal_weight": "0.75 oz/ft2"},
            {**WOVEN, "areal_weight": "17 oz/yd2", "fabric": "multidirectional"}]  # fmt: skip
    found = ask(client, "laminate", {"stack": pair})
    assert (found["method"], found["other"]["method"]) == ("each_ply", "combination")
    assert found["thickness"]["value"] == pytest.approx(1.240, abs=6e-4)
    assert found["other"]["thickness"]["value"] == pytest.approx(1.285, abs=6e-4)
    turned = ask(client, "laminate", {"stack": pair, "method": "combination"})
    assert turned["method"] == "combination"
    assert turned["thickness"] == found["other"]["thickness"]


def test_plies_for_a_thickness(client: FlaskClient) -> None:
    """Mat and roving in turn, to 6.35 mm: four of each are 5.91, and 0.44 is left over."""
    found = ask(client, "plies", {"thickness": "6.35 mm", "stack": [MAT, WOVEN]})
    assert found["count"] == 8
    assert found["left_over"]["value"] == pytest.approx(6.35 - 4 * 1.4765, abs=1e-3)
    assert found["one_more_stands_proud"]["value"] == pytest.approx(0.2565, abs=1e-3)
    assert "left over" in found["advice"][0]


def test_a_part_taped_in(client: FlaskClient) -> None:
    """Both sides of it: two pieces of each strip, and putty for two corners."""
    found = ask(client, "tabbing", {**TAB, "sides": 2})
    assert mm(found["plies"], "width") == pytest.approx([194.85, 144.85, 94.85], abs=0.01)
    assert [ply["pieces"] for ply in found["plies"]] == [2, 2, 2]
    assert found["fillet"]["volume"]["value"] == pytest.approx(2 * 0.055623, abs=1e-5)
    assert found["fillet"]["mass"] is None
    client.post("/v1/products", json={
        "code": "PUTTY", "name": "Putty", "role": "filler", "density": "0.8 kg/L"})  # fmt: skip
    weighed = ask(client, "tabbing", {**TAB, "putty": "PUTTY"})
    assert weighed["fillet"]["mass"]["value"] == pytest.approx(0.0445, abs=1e-4)
    bare = {**TAB, "radius": "0 mm"}
    assert any("bridges" in words for words in ask(client, "tabbing", bare)["cautions"])


@pytest.mark.parametrize(
    ("sum_", "body", "found"),
    [
        ("taper", {**PATCH, "ratio": 0.9}, "validation"),
        ("taper", {**PATCH, "ratio": 1e9}, "validation"),
        ("taper", {**PATCH, "thickness": "0 mm"}, "validation"),
        ("taper", {**PATCH, "thickness": "-6 mm"}, "validation"),
        ("taper", {**PATCH, "thickness": 6}, "unit-missing"),
        ("taper", {**PATCH, "thickness": "6 kg"}, "unit-mismatch"),
        ("taper", {**PATCH, "thickness": "10 m"}, "validation"),
        ("taper", {**PATCH, "hole": {"length": "900000 m"}}, "validation"),
        ("taper", {**PATCH, "hole": {"shape": "oval", "length": "90 mm"}}, "validation"),
        ("taper", {**PATCH, "plies": 0}, "validation"),
        ("taper", {**PATCH, "plies": 10**9}, "validation"),
        ("taper", {**PATCH, "plies": 1, "sides": 2}, "validation"),
        ("taper", {**PATCH, "sides": 3}, "validation"),
        ("taper", {**PATCH, "room": "0 mm"}, "validation"),
        ("taper", {**PATCH, "stack": [MAT]}, "validation"),
        ("taper", {"shape": "patch", "plies": 3, "thickness": "6 mm"}, "validation"),
        ("taper", {"shape": "seam", "plies": 3, "thickness": "6 mm"}, "validation"),
        ("taper", {"shape": "seam", "length": "1 m", "plies": 3}, "validation"),
        ("taper", {"shape": "seam", "length": "1 m", "stack": []}, "validation"),
        (
            "taper",
            {
                "shape": "seam",
                "length": "1 m",
                "thickness": "6 mm",
                "stack": [{"thickness": "51 mm"}],
            },
            "validation",
        ),
        ("taper", {**PATCH, "thickness": "0.09 mm"}, "validation"),
        ("laminate", {"stack": []}, "validation"),
        ("laminate", {"stack": [{**MAT, "count": 201}]}, "validation"),
        ("laminate", {"stack": [{**MAT, "count": 150}] * 200}, "validation"),
        ("laminate", {"stack": [{"count": 1}]}, "validation"),
        ("laminate", {"stack": [{"thickness": "1 mm", "count": 1}]}, "validation"),
        ("laminate", {"stack": [{**MAT, "fibre_fraction": 0.09}]}, "validation"),
        ("laminate", {"stack": [{**MAT, "fibre_fraction": 0.76}]}, "validation"),
        ("laminate", {"stack": [{**MAT, "areal_weight": "900 kg/m2"}]}, "validation"),
        ("laminate", {"stack": [{"product": "NONE", "count": 1}]}, "unknown-reference"),
        ("laminate", {"stack": [MAT], "resin": "NONE"}, "unknown-reference"),
        ("laminate", {"stack": [MAT], "method": "combination"}, "validation"),
        ("plies", {"thickness": "0.1 mm", "stack": [MAT]}, "validation"),
        ("plies", {"thickness": "900000 m", "stack": [MAT]}, "validation"),
        ("plies", {"thickness": "9 m", "stack": [{"thickness": "1 um", "count": 1}]}, "validation"),
        ("tabbing", {**TAB, "leg": "40 mm"}, "validation"),
        ("tabbing", {**TAB, "angle": 180}, "validation"),
        ("tabbing", {**TAB, "radius": "10 m"}, "validation"),
        ("tabbing", {**TAB, "putty": "NONE"}, "unknown-reference"),
    ],
)
def test_what_can_t_be_is_refused(
    client: FlaskClient, sum_: str, body: dict[str, Any], found: str
) -> None:
    """Each with its slug and what to do."""
    answer = client.post(f"/v1/estimates/{sum_}", json=body)
    assert (answer.status_code, slug(answer.json)) == (422, found), answer.text


def slug(problem: dict[str, Any]) -> str:
    """The slug of a problem document."""
    return str(problem["type"]).rpartition("/")[2]
