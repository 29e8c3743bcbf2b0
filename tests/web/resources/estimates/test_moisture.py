"""A cure by moisture over HTTP: told before it is laid, and when it is."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

import pytest
from flask.testing import FlaskClient

from .... import makers
from ....putting import by_client, post
from ...conftest import Clock

AIR = {"temperature": "23 degC", "humidity_percent": 50}


@pytest.fixture
def yard(client: FlaskClient) -> FlaskClient:
    """A yard with a sealant, a resin and a bay."""
    by_client(client, products=[makers.catalyst(), makers.resin(), makers.sealant()],
              bays=[makers.bay()], jobs=[makers.job()])  # fmt: skip
    return client


def asked(yard: FlaskClient, **body: Any) -> Any:
    """The estimate."""
    return post(yard, "estimates/moisture", {"product": "SEAL", **body}, 200)


@pytest.mark.parametrize(
    ("body", "hours"),
    [
        ({"thickness": "3 mm", **AIR}, (15.91, 24.00, 36.21)),
        ({"thickness": "3 mm", "temperature": "5 degC", "humidity_percent": 80},
         (41.32, 71.57, 124.0)),
        ({"thickness": "6 mm", "temperature": "50 degF", "humidity_percent": 60},
         (148.5, 242.0, 394.5)),
    ],
)  # fmt: skip
def test_the_made_answers(yard: FlaskClient, body: Any, hours: tuple[float, ...]) -> None:
    """Worked out apart from this code."""
    found = asked(yard, **body)["through"]
    assert [found[edge]["value"] for edge in ("earliest", "at", "latest")] == pytest.approx(
        hours, rel=5e-4
    )


def test_a_skin_and_a_wide_base(yard: FlaskClient) -> None:
    """60 min at 32 °C and 80 % is 11.85 to 28.88 min; 60 mm between tight faces 100 days."""
    skin = asked(yard, thickness="3 mm", temperature="32 degC", humidity_percent=80)["skin"]
    assert [60 * skin[edge]["value"] for edge in ("earliest", "at", "latest")] == pytest.approx(
        (11.85, 18.50, 28.88), rel=2e-3
    )
    base = asked(yard, tight_width="60 mm", **AIR)
    assert (base["comes"], base["depth"]["value"]) == ("edges", 30)
    assert base["through"]["at"]["value"] / 24 == pytest.approx(100, rel=1e-3)
    assert any("edges alone" in words for words in base["cautions"])
    assert asked(yard, tight_width="4 m", **AIR)["through"] is None


@pytest.mark.parametrize(
    ("body", "slug"),
    [
        (AIR, "validation"),
        ({"thickness": "3 mm", "tight_width": "3 mm", **AIR}, "validation"),
        ({"thickness": "3 mm", **AIR, "product": "LAM"}, "cure-sheet-missing"),
        ({"thickness": "3 mm", **AIR, "product": "NONE"}, "unknown-reference"),
        ({"thickness": "3 mm", **AIR, "temperature": "4 degC"}, "too-cold"),
        ({"thickness": "3 mm", **AIR, "humidity_percent": 0}, "validation"),
    ],
)
def test_what_can_t_be_told(yard: FlaskClient, body: Any, slug: str) -> None:
    """Neither size, or both; what cures by no moisture; below its coldest."""
    assert post(yard, "estimates/moisture", {"product": "SEAL", **body}, 422)["slug"] == slug


def read_hourly(yard: FlaskClient, clock: Clock) -> None:
    """Three hours of a logger."""
    for _ in range(3):
        at = datetime.fromtimestamp(clock.moment, UTC).isoformat()
        reading = {"at": at, "temperature": "20 degC", "humidity_percent": 60}
        post(yard, "bays/SHED/readings", {"readings": [reading]}, 201)
        clock.moment += 3600


def test_a_layup_of_it(yard: FlaskClient, clock: Clock) -> None:
    """What is told of it, on every screen, is of its skin and its depth."""
    read_hourly(yard, clock)
    body = {"product": "SEAL", "thickness": "4 mm", "batches": None, "catalyst_percent": None}
    layup = post(yard, "layups", makers.layup(kind="bond", **body), 201)
    assert layup["sign"] == "wet"
    assert layup["milestones"]["skin"]["at"] < layup["milestones"]["through"]["at"]
    assert layup["by_moisture"]["depth"] == {"value": 4.0, "unit": "mm"}
    assert layup["do"]["words"] == "tool it by"
    read_hourly(yard, clock)
    page = yard.get("/layups/1").get_data(as_text=True)
    for words in ("cured through", "Skin is on", "By moisture", "No skin yet"):
        assert words in page
    assert "Acetone" not in page
    told = {
        "/": "should be skinned", "/v1/now": "load it from", "/products/SEAL": "cures by moisture",
        "/jobs/D-7": "should be skinned", "/v1/calendar.ics": "cured through, by its clock",
    }  # fmt: skip
    for address, words in told.items():
        answer = yard.get(address)
        assert answer.status_code == 200, address
        text = answer.get_data(as_text=True).replace("\r\n ", "").replace("\\,", ",")
        assert words in text, address
