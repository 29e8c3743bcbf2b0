"""Pots over the wire: by mass and area, by the bay's forecast, two parts, bad input."""

from __future__ import annotations

from datetime import datetime
from typing import Any

import pytest
from flask.testing import FlaskClient

from .... import makers
from ....putting import by_client
from ...conftest import MORNING

pytestmark = pytest.mark.only_on("sqlite")  # nothing here rests on what a database does

CURE = makers.sheet(
    reference={"temperature": "20 degC", "catalyst_percent": 1.5},
    gel_times=[
        makers.gel_time("15 degC", "40 min", 1.5),
        makers.gel_time("20 degC", "28 min", 1.5),
        makers.gel_time("25 degC", "20 min", 1.5),
    ],
    catalyst_percent_max=2.5,
    apply_min=None,
    cure_min=None,
)
EPOXY = makers.two_part_sheet(
    mix={"kind": "two_part", "parts": [100, 30], "by": "mass"},
    gel_times=[makers.gel_time("20 degC", "60 min", None)],
    pot_max="1.3 kg",
)
CATALOGUE = [
    makers.catalyst(), makers.resin(cure=CURE), makers.hardener(), makers.epoxy("EP", cure=EPOXY),
]  # fmt: skip
POTS = {"resin": "LAM", "amount": "8 kg", "temperature": "20 degC", "target_gel": "30 min",
        "spread": "1 kg", "spread_time": "6 min"}  # fmt: skip


@pytest.fixture
def yard(client: FlaskClient) -> FlaskClient:
    """A polyester, an epoxy, a shed."""
    by_client(client, products=CATALOGUE, bays=[makers.bay("SHED", "22 degC", "12 degC")])
    return client


def run(client: FlaskClient, **changes: Any) -> dict[str, Any]:
    """The pots of a good request."""
    body = {name: value for name, value in {**POTS, **changes}.items() if value is not None}
    response = client.post("/v1/estimates/pots", json=body)
    assert response.status_code == 200, response.text
    return dict(response.json or {})


def seconds(text: str) -> float:
    """A moment since 1970."""
    return datetime.fromisoformat(text).timestamp()


def test_each_is_down_before_it_gels(yard: FlaskClient) -> None:
    """They add up, follow one another from now, and none is late or over the greatest."""
    answer = run(yard)
    pots = answer["pots"]
    assert len(pots) == answer["count"] >= 3
    assert sum(p["resin"]["value"] for p in pots) == pytest.approx(8000)
    assert seconds(pots[0]["mixed_at"]) == MORNING
    for pot in pots:
        assert pot["resin"]["value"] <= 3000
        assert seconds(pot["spread_until"]) <= seconds(pot["spread_before"]) + 1
        assert seconds(pot["spread_before"]) < seconds(pot["gel_earliest_at"])


def test_an_area_is_a_share_of_the_whole(yard: FlaskClient) -> None:
    """1 m² of 8 m² in 6 min is 1 kg of 8 kg in 6 min."""
    assert run(yard, spread="1 m2", area="8 m2")["pots"] == run(yard)["pots"]


def test_by_the_bay(yard: FlaskClient) -> None:
    """Every pot has the air that is forecast for its own moment: it cools when the day ends."""
    warm = run(yard, temperature=None, bay="SHED")
    assert {pot["temperature"]["value"] for pot in warm["pots"]} == {22}
    cool = run(yard, temperature=None, bay="SHED", start="2026-03-20T18:50:00Z")
    degrees = [pot["temperature"]["value"] for pot in cool["pots"]]
    assert degrees[0] == 22
    assert degrees[-1] < 22


def test_two_parts_count_both_in_the_greatest_pot(yard: FlaskClient) -> None:
    """1.3 kg at 100:30 has 1 kg of resin: 2 kg are two pots, not three."""
    answer = run(yard, resin="EP", amount="2 kg", target_gel=None, spread_time="1 min")
    assert (answer["count"], answer["limited_by"]) == (2, "pot_max")
    assert answer["mix"] == {"value": 2.6, "unit": "kg"}
    assert run(yard, resin="EP", amount="2001 g", target_gel=None, spread_time="1 min")[
        "count"] == 3  # fmt: skip


@pytest.mark.parametrize(
    ("changes", "slug"),
    [({"amount": "0 kg"}, "validation"), ({"spread": "0 kg"}, "validation"),
     ({"spread_time": "0 min"}, "validation"), ({"spread": "1 m2"}, "validation"),
     ({"spread": "1 mg", "spread_time": "30000 d"}, "outside-limits"),
     ({"amount": "900000 kg"}, "outside-limits"), ({"mixing": "3000 d"}, "outside-limits"),
     ({"spread": 5}, "unit-missing"), ({"resin": "NONE"}, "unknown-reference"),
     ({"resin": "HARD"}, "cure-sheet-missing"), ({"bay": "NONE"}, "unknown-reference"),
     ({"temperature": "-98 degC", "spread": "1 kg", "mixing": "30000 d"}, "outside-limits")],
)  # fmt: skip
def test_bad_input(yard: FlaskClient, changes: Any, slug: str) -> None:
    """A 4xx by its slug, whatever it is."""
    response = yard.post("/v1/estimates/pots", json={**POTS, **changes})
    assert 400 <= response.status_code < 500, response.text
    problem = response.json or {}
    assert problem["changed"] is False
    errors = problem.get("errors") or [{"slug": problem["type"].rsplit("/", 1)[-1]}]
    assert slug in {error["slug"] for error in errors}


def test_frozen_resin_has_all_week(yard: FlaskClient) -> None:
    """A gel time past any calendar is still an answer."""
    answer = run(yard, temperature="-98 degC", target_gel=None, catalyst_percent=1.5)
    assert answer["count"] == 3
