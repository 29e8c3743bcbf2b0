"""Coats and fairing over the wire: worked examples, a product's limits, bad input."""

from __future__ import annotations

from typing import Any

import pytest
from flask.testing import FlaskClient

from .... import makers
from ....putting import by_client

pytestmark = pytest.mark.only_on("sqlite")  # nothing here rests on what a database does

COAT = {"area": "12 m2", "coats": 2, "dry_film": "125 um", "solids_percent": 65,
        "thinner_percent": 5, "loss_percent": 20}  # fmt: skip
FAIR = {"area": "1.5 m2", "depth": "4 mm", "proud": "0.5 mm", "coat_max": "3 mm"}
CURE = makers.one_part_sheet(build_max="2 mm", build_min="0.1 mm")
FILLER = makers.product("FAIR", "filler", density="0.8 kg/L", cure=CURE)


def estimate(client: FlaskClient, what: str, body: Any) -> dict[str, Any]:
    """The answer, which must be a good one."""
    response = client.post(f"/v1/estimates/{what}", json=body)
    assert response.status_code == 200, response.text
    return dict(response.json or {})


def test_coats(client: FlaskClient) -> None:
    """The lines of a topside, worked by hand in tests/published."""
    answer = estimate(client, "coating", COAT)
    assert answer["paint"] == {"value": 6.634615, "unit": "L"}
    assert answer["thinner"] == {"value": 0.331731, "unit": "L"}
    assert answer["litre_covers"] == {"value": 5.2, "unit": "m**2"}
    assert answer["mass"] is None


def test_fairing(client: FlaskClient) -> None:
    """4.5 mm in coats of at most 3 mm are two of 2.25; 6 L stay, 0.75 are sanded off."""
    answer = estimate(client, "fairing", FAIR)
    assert (answer["coats"], answer["coat"]["value"]) == (2, 2.25)
    assert [answer[line]["value"] for line in ("fill", "sanded", "waste", "mix")] == [
        6, 0.75, 1.0125, 7.7625,
    ]  # fmt: skip


def test_a_products_own_figures(client: FlaskClient) -> None:
    """Density gives mass; its thickest coat holds, and a thin or thick film is told."""
    by_client(client, products=[FILLER])
    body = {"area": "1.5 m2", "depth": "4 mm", "product": "FAIR"}
    answer = estimate(client, "fairing", body)
    assert (answer["coats"], answer["mass"]["value"]) == (2, 5.52)
    assert "proud" in answer["cautions"][0]
    refused = client.post("/v1/estimates/fairing", json={**body, "coat_max": "3 mm"})
    assert (refused.json or {})["type"].endswith("outside-limits")
    for film, word in (("50 um", "under"), ("3 mm", "over")):
        told = estimate(client, "coating", {"area": "1 m2", "wet_film": film, "product": "FAIR"})
        assert word in told["cautions"][0]


@pytest.mark.parametrize(
    ("what", "good", "bad"),
    [("coating", COAT, {"area": "0 m2"}), ("coating", COAT, {"area": "-1 m2"}),
     ("coating", COAT, {"solids_percent": 0}), ("coating", COAT, {"wet_film": "1 mm"}),
     ("coating", COAT, {"coats": 0}), ("coating", COAT, {"loss_percent": 100}),
     ("coating", COAT, {"area": "900000000 m2", "dry_film": "900000 m"}),
     ("coating", COAT, {"product": "NONE"}), ("coating", COAT, {"area": 12}),
     ("fairing", FAIR, {"depth": "0 mm"}), ("fairing", FAIR, {"coat_max": "1 um"}),
     ("fairing", FAIR, {"area": "900000000 m2", "depth": "900 m", "coat_max": "900 m"}),
     ("fairing", FAIR, {"waste_percent": -1}), ("fairing", FAIR, {"depth": "4 kg"})],
)  # fmt: skip
def test_bad_input(client: FlaskClient, what: str, good: Any, bad: Any) -> None:
    """A 4xx with what to do, whatever it is."""
    response = client.post(f"/v1/estimates/{what}", json={**good, **bad})
    assert 400 <= response.status_code < 500, response.text
    problem = response.json or {}
    assert problem["changed"] is False
    assert problem["detail"]
    assert "/problems/" in problem["type"]


def test_no_coat_limit(client: FlaskClient) -> None:
    """Without a product nor a limit there is no figure."""
    response = client.post("/v1/estimates/fairing", json={"area": "1 m2", "depth": "4 mm"})
    assert response.status_code >= 400
    assert "coat_max" in (response.json or {})["detail"]
