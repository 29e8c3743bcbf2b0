"""Leak tests over HTTP, and by thumb: recorded, listed, taken back, shown on the job's page."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

import pytest
from flask.testing import FlaskClient

from ... import makers
from ...putting import by_client, post
from ..conftest import MORNING, Clock
from ..read_page import BROWSER
from ..sent_forms import fill, followed, hidden, send

MIN = 60
PAGE = "/jobs/J-1/leak-test"
TYPED = {
    "place": "keel", "first": "880", "first.unit": "hPa", "second": "850", "second.unit": "hPa",
    "waited": "10", "waited.unit": "min", "shows": "below", "air_pressure": "",
    "air_pressure.unit": "hPa",
}  # fmt: skip


def stamp(minutes: float) -> str:
    """A moment so many minutes after the morning, as the interface takes it."""
    return datetime.fromtimestamp(MORNING + minutes * MIN, UTC).isoformat()


@pytest.fixture
def yard(client: FlaskClient, clock: Clock) -> FlaskClient:
    """A yard with one job."""
    by_client(client, jobs=[makers.job("J-1")])
    clock.moment = MORNING
    return client


def leak(client: FlaskClient, status: int = 201, **more: Any) -> Any:
    """A leak test of the last ten minutes."""
    body = {"place": "keel", "first": "880 hPa", "first_at": stamp(-10), "second": "850 hPa"}
    return post(client, "jobs/J-1/leak-tests", body | more, status)


def test_a_test_is_kept_below_the_air(yard: FlaskClient) -> None:
    """Told in inches it is the same vacuum; a loss is that of a minute."""
    found = leak(yard, first="26 inHg", second="25 inHg")
    assert found["first"] == {"value": 880.46, "unit": "hPa"}
    assert found["loss"]["value"] == pytest.approx(3.39, abs=0.01)
    assert found["passed"] is True
    assert found["second_at"] == stamp(0)
    assert any("small bag" in each for each in found["cautions"])
    assert leak(yard, second="400 hPa")["passed"] is False


def test_absolute_only_if_it_is_said(yard: FlaskClient) -> None:
    """Then with the air's own pressure; one without the other is refused."""
    both = {"first": "130 hPa", "second": "160 hPa"}
    found = leak(yard, **both, absolute=True, air_pressure="1013 hPa")
    assert (found["first"]["value"], found["second"]["value"]) == (883, 853)
    assert found["air_pressure"]["value"] == 1013
    assert leak(yard, **both, status=422)["pointer"] == "/second"  # a rising vacuum
    for more, pointer in (({"absolute": True}, "/air_pressure"),
                          ({"air_pressure": "1013 hPa"}, "/absolute")):  # fmt: skip
        refused = leak(yard, 422, **both, **more)
        assert refused["pointer"] == pointer


@pytest.mark.parametrize(
    ("more", "pointer"),
    [
        ({"first_at": stamp(-4)}, "/second_at"),
        ({"second": "881 hPa"}, "/second"),
        ({"first": "12 m"}, "/first"),
        ({"first": "880"}, "/first"),
        ({"first": "2 psi below"}, "/first"),
        ({"first_at": stamp(60)}, "/first_at"),
    ],
)
def test_what_can_not_be_is_refused(yard: FlaskClient, more: dict[str, Any], pointer: str) -> None:
    """And nothing is kept."""
    assert leak(yard, 422, **more)["pointer"] == pointer
    assert yard.get("/v1/jobs/J-1/leak-tests").json == {"items": [], "next": None}


def test_one_taken_back_stays_on_record(yard: FlaskClient) -> None:
    """In the list, not on the page; not twice, and no test of another job."""
    first, second = leak(yard)["id"], leak(yard, place="skeg")["id"]
    back = f"jobs/J-1/leak-tests/{first}/withdrawal"
    post(yard, back, {"reason": "another bag"})
    assert post(yard, back, {"reason": "x"}, 409)["slug"] == "already-exists"
    assert post(yard, "jobs/J-1/leak-tests/9/withdrawal", {"reason": "x"}, 404)
    listed = yard.get("/v1/jobs/J-1/leak-tests").json["items"]
    assert [each["id"] for each in listed] == [second, first]
    assert listed[1]["withdrawn"]["reason"] == "another bag"
    page = yard.get("/jobs/J-1", headers=BROWSER).text
    part = page[page.index("<h2>Leak tests</h2>") :]
    assert "skeg" in part
    assert "keel" not in part.partition("</table>")[0]
    assert "small bag" in part


def test_a_job_without_a_test_has_no_heading(yard: FlaskClient) -> None:
    """The sheet says what was done."""
    assert "<h2>Leak tests</h2>" not in yard.get("/jobs/J-1", headers=BROWSER).text


def test_by_thumb(yard: FlaskClient) -> None:
    """The second pressure is of now; what follows says what it found, and takes it back."""
    assert f'href="{PAGE}"' in yard.get("/jobs/J-1", headers=BROWSER).text
    text = followed(yard, fill(yard, PAGE, **TYPED))
    assert "keel: tight enough" in text
    (row,) = yard.get("/v1/jobs/J-1/leak-tests").json["items"]
    assert (row["first_at"], row["second_at"]) == (stamp(-10), stamp(0))
    assert "Taken back: keel" in followed(yard, send(yard, f"{PAGE}/undo", hidden(text)))
    assert 'value="keel"' in yard.get(PAGE, headers=BROWSER).text


def test_by_thumb_an_absolute_gauge(yard: FlaskClient) -> None:
    """With the air of the hour; a bag that leaks says so, with what may mislead."""
    told = {"shows": "absolute", "first": "130", "second": "630", "air_pressure": "1013"}
    text = followed(yard, fill(yard, PAGE, **TYPED | told))
    assert "keel: not tight enough" in text
    assert "small bag" in text


@pytest.mark.parametrize(
    ("told", "said"),
    [
        ({"second": "890"}, "the pump is on"),
        ({"waited": "4"}, "less than 5 minutes apart"),
        ({"shows": "absolute"}, "without the air"),
        ({"first": "much"}, 'id="first-fault"'),
    ],
)
def test_a_refused_form_keeps_what_was_typed(
    yard: FlaskClient, told: dict[str, str], said: str
) -> None:
    """And says why; nothing is kept."""
    answer = fill(yard, PAGE, **TYPED | told)
    assert answer.status_code == 422
    assert said in answer.text
    assert 'value="keel"' in answer.text
    assert f'value="{(TYPED | told)["second"]}"' in answer.text
    assert yard.get("/v1/jobs/J-1/leak-tests").json["items"] == []
