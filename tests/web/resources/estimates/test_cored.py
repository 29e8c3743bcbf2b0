"""Cored panels over the wire: the worked example, a product's needs, bad input."""

from __future__ import annotations

from typing import Any

import pytest
from flask.testing import FlaskClient

from .... import makers
from ....putting import by_client

pytestmark = pytest.mark.only_on("sqlite")  # nothing here rests on what a database does

PANEL = {"hole": {"length": "100 mm"}, "inner": "3 mm", "outer": "4 mm", "core": "20 mm"}
KERFED = {**PANEL, "bedding": "1.5 mm", "kerf_width": "2 mm", "kerf_pitch": "30 mm"}


def estimate(client: FlaskClient, body: Any, units: str = "metric") -> dict[str, Any]:
    """The answer, which must be a good one."""
    response = client.post("/v1/estimates/cored", json=body, query_string={"units": units})
    assert response.status_code == 200, response.text
    return dict(response.json or {})


def test_a_panel_by_hand(client: FlaskClient) -> None:
    """Worked by hand: 172, 222, 318 mm; under pi/4 x 0.222² m² a bed of 58.061 mL, kerfs 99.779."""
    answer = estimate(client, KERFED)
    outlines = ("inner_ground", "core_opening", "outer_ground")
    assert [answer[each]["length"]["value"] for each in outlines] == [172, 222, 318]
    assert answer["core_area"]["value"] == pytest.approx(0.038708, abs=1e-6)
    assert answer["bedding"]["value"] == pytest.approx(0.058061, abs=1e-6)
    assert answer["kerfs"]["value"] == pytest.approx(0.099779, abs=1e-6)
    assert answer["mix"]["value"] == pytest.approx(1.15 * 0.157840, abs=2e-6)
    assert (answer["verdict"], answer["mass"], answer["needs"]) == ("pass", None, [])
    assert any("wetness" in caution for caution in answer["cautions"])


def test_a_plain_core_that_nobody_beds_takes_nothing(client: FlaskClient) -> None:
    """Figures to open, and no mix."""
    answer = estimate(client, PANEL)
    assert answer["mix"]["value"] == answer["kerf_depth"]["value"] == 0


def test_what_beds_it_becomes_a_need(client: FlaskClient) -> None:
    """By the product's density, with its hardener; of epoxy no mat is wanted."""
    sheet = makers.two_part_sheet("HARD", mix={"kind": "two_part", "parts": [1, 1], "by": "mass"})
    bed = makers.product("BED", "resin", chemistry="epoxy", density="1.2 kg/L", cure=sheet)
    by_client(client, products=[makers.hardener("HARD"), bed])
    answer = estimate(client, {**KERFED, "product": "BED"})
    assert answer["mass"]["value"] == pytest.approx(1.2 * answer["mix"]["value"], abs=1e-5)
    assert {each["product"] for each in answer["needs"]} == {"BED", "HARD"}
    assert any("Epoxy needs no mat" in words for words in answer["advice"])


def test_too_steep_is_a_stop(client: FlaskClient) -> None:
    """Under 8:1, unless it is known that nothing hangs on it; then class is not spoken of."""
    assert estimate(client, {**PANEL, "ratio": 6})["verdict"] == "stop"
    free = estimate(client, {**PANEL, "ratio": 6, "structural": "no"})
    assert free["verdict"] == "caution"
    assert not any("class" in caution for caution in free["cautions"])


@pytest.mark.parametrize(
    "bad",
    [{"hole": None}, {"hole": {"length": "0 mm"}}, {"inner": "0 mm"}, {"core": "2 m"},
     {"kerf_pitch": None}, {"kerf_width": "30 mm", "kerf_pitch": "30 mm"}, {"landing": "1 m"},
     {"ratio": 0}, {"product": "NONE"}, {"bedding": "-1 mm"},
     {"hole": {"length": "90000 km"}}, {"bedding": "9000000 km"}],
)  # fmt: skip
def test_bad_input(client: FlaskClient, bad: Any) -> None:
    """A 4xx with words, whatever it is."""
    response = client.post("/v1/estimates/cored", json={**KERFED, **bad})
    assert 400 <= response.status_code < 500, response.text
    assert (response.json or {})["changed"] is False
