"""Fields: what they take, what they refuse and by which slug, and how they show it again."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone
from typing import Any

import pytest
from cureyard_service.core.amounts import quantities as q
from cureyard_service.store import tables
from cureyard_service.web import fields
from cureyard_service.web.fields.schemas import Body
from flask.testing import FlaskClient
from hypothesis import example, given
from hypothesis import strategies as st
from marshmallow import ValidationError

pytestmark = pytest.mark.only_on("sqlite")  # nothing here rests on what a database does


class Moments(Body):
    """One moment."""

    at = fields.Moment()


def echo(client: FlaskClient, body: dict[str, Any], query: str = "") -> Any:
    """What the toy's fields make of a body, shown again."""
    return client.post(f"/v1/toys/echo{query}", json=body)


def problem(client: FlaskClient, body: dict[str, Any]) -> tuple[str, str]:
    """Slug and pointer of the one fault in a body."""
    answer = echo(client, body)
    assert answer.status_code == 422, answer.json
    assert answer.json["changed"] is False
    assert "errors" not in answer.json
    return answer.json["type"].rpartition("/")[2], answer.json.get("pointer", "")


@pytest.mark.parametrize(
    ("name", "value", "slug"),
    [
        ("weight", "12.5", "unit-missing"),
        ("weight", 12.5, "unit-missing"),
        ("weight", 0, "unit-missing"),
        ("weight", "5 L", "unit-mismatch"),
        ("weight", "5 furlong", "unit-mismatch"),
        ("weight", "9**9**9**9 kg", "validation"),
        ("weight", "1e999 kg", "validation"),
        ("weight", "nan kg", "validation"),
        ("weight", "inf kg", "validation"),
        ("weight", "-5 kg", "validation"),
        ("weight", "1,5 kg", "validation"),
        ("weight", "5 kg @ 3", "validation"),
        ("weight", "9" * 100_000 + " kg", "validation"),
        ("weight", "999999999999999 kg", "validation"),
        ("weight", "", "validation"),
        ("weight", "kg", "validation"),
        ("weight", "all", "validation"),
        ("weight", "5\x00kg", "validation"),
        ("weight", True, "validation"),
        ("weight", None, "validation"),
        ("weight", {"value": 5, "unit": "kg"}, "validation"),
        ("weight", ["5 kg"], "validation"),
        ("amount", "5 m", "unit-mismatch"),
        ("amount", "ALL", "validation"),
        ("amount", 5, "unit-missing"),
        ("percent", "2", "validation"),
        ("percent", True, "validation"),
        ("percent", 0, "validation"),
        ("percent", -1, "validation"),
        ("percent", 100.0001, "validation"),
        ("percent", 10**400, "validation"),
        ("percent", None, "validation"),
        ("count", 1.5, "validation"),
        ("count", "1", "validation"),
        ("count", False, "validation"),
        ("count", 0, "validation"),
        ("count", 10, "validation"),
        ("count", 2**64, "validation"),
        ("made_on", "2026-02-29", "validation"),
        ("made_on", "2026-3-1", "validation"),
        ("made_on", "20260301", "validation"),
        ("made_on", "2026-W09-7", "validation"),
        ("made_on", "2026-03-01T00:00:00Z", "validation"),
        ("made_on", "0000-00-00", "validation"),
        ("made_on", "0001-01-01", "validation"),
        ("made_on", "9999-12-31", "validation"),
        ("made_on", "２０２６-03-01", "validation"),
        ("made_on", 20260301, "validation"),
        ("kind", "ship", "validation"),
        ("kind", ["boat"], "validation"),
        ("kind", {}, "validation"),
        ("loud", "true", "validation"),
        ("loud", 1, "validation"),
        ("title", "", "validation"),
        ("title", " \t ", "validation"),
        ("title", "x" * 41, "validation"),
        ("title", "two\nlines", "validation"),
        ("title", "nul\x00", "validation"),
        ("title", "tur\u202end", "validation"),
        ("title", "para\u2029graph", "validation"),
        ("title", "\u200b\u200d\u2060", "validation"),
        ("title", "\u00ad", "validation"),
        ("title", "\u0301\u0301", "validation"),
        ("title", "\u3164 \u115f", "validation"),
        ("title", "\u2800", "validation"),
        ("title", "\U000e0041", "validation"),
        ("note", "\n\u200b\n", "validation"),
        ("title", 5, "validation"),
        ("note", "bell\x07", "validation"),
        ("number", "-1", "validation"),
        ("number", "a b", "validation"),
        ("number", "x" * 33, "validation"),
        ("number", "Ä1", "validation"),
        ("number", "T-1\n", "validation"),
        ("number", 5, "validation"),
        ("parts", {}, "validation"),
        ("parts", "x", "validation"),
        ("parts", [{"at": "2026-03-01T10:00:00Z"}] * 201, "validation"),
    ],
)
def test_what_does_not_fit_is_refused(
    client: FlaskClient, name: str, value: object, slug: str
) -> None:
    """By its own slug, with a pointer to it, and in words that name it."""
    assert problem(client, {name: value}) == (slug, f"/{name}")
    answer = echo(client, {name: value})
    assert answer.json["detail"].startswith(f"{name}: ")
    assert len(answer.data) < 2000


@pytest.mark.parametrize(
    "at",
    [
        "2026-03-01", "2026-03-01T10:00:00", "2026-03-01T10:00Z", "2026-03-01T10:00:00+0100",
        "2026-03-01T10:00:00+01", "2026-02-30T10:00:00Z", "2026-03-01T24:00:00Z",
        "2026-03-01T10:00:60Z", "2026-03-01T10:00:00+24:00", "2026-03-01T10:00:00,5Z",
        "0001-01-01T00:00:00+14:00", "9999-12-31T23:59:59-14:00", "1969-12-31T23:59:59Z",
        "now", "", 1772359200, None, True, "2026-03-01T10:00:00Z\n",
    ],
)  # fmt: skip
def test_what_is_no_moment_is_refused(client: FlaskClient, at: object) -> None:
    """Date, time to the second and offset, all of them, and such as there is."""
    assert problem(client, {"parts": [{"at": "2026-03-01T10:00:00Z"}, {"at": at}]}) == (
        "validation",
        "/parts/1/at",
    )


@pytest.mark.parametrize("width", ["0 mm", "0 in"])
def test_nothing_is_refused_where_something_is_wanted(client: FlaskClient, width: str) -> None:
    """A part of no width."""
    part = {"at": "2026-03-01T10:00:00Z", "width": width}
    assert problem(client, {"parts": [part]}) == ("validation", "/parts/0/width")


def test_several_faults_are_told_together(client: FlaskClient) -> None:
    """Each with its own slug and place, so that a person mends them at once."""
    answer = client.post("/v1/toys", json={"weight": "5", "amount": "5 m", "colour": "red"})
    assert answer.json["type"].endswith("/problems/validation")
    found = {each["pointer"]: each["slug"] for each in answer.json["errors"]}
    assert found == {
        "/weight": "unit-missing",
        "/amount": "unit-mismatch",
        "/colour": "validation",
        "/number": "validation",
        "/title": "validation",
    }
    assert tables.Job.select().count() == 0


def test_ten_thousand_faults_make_no_endless_answer(client: FlaskClient) -> None:
    """Some of them are told."""
    answer = echo(client, {"parts": [{"at": 1, "width": "1"}] * 150 + [{}]})
    assert answer.status_code == 422
    assert len(answer.json["errors"]) == 100
    body = {f"name {number}": 1 for number in range(10_000)}
    assert len(echo(client, body).data) < 100_000


@pytest.mark.parametrize(
    ("name", "pointer"),
    [("a/b", "/a~1b"), ("~", "/~0"), ("", "/"), ("x" * 100, "/" + "x" * 64 + "…")],
)
def test_a_pointer_is_written_as_its_rfc_wants(
    client: FlaskClient, name: str, pointer: str
) -> None:
    """RFC 6901, and no longer than a person reads."""
    assert problem(client, {name: 1})[1] == pointer


def test_an_unknown_name_is_told_what_names_there_are(client: FlaskClient) -> None:
    """A mistyped name must not be passed over."""
    assert "weight" in echo(client, {"wieght": "5 kg"}).json["advice"]


@pytest.mark.parametrize(
    ("name", "text", "query", "shown"),
    [
        ("weight", "12.5 kg", "", {"value": 12.5, "unit": "kg"}),
        ("weight", "12.5 kg", "?units=us", {"value": 27.557783, "unit": "lb"}),
        ("weight", "1-1/2 lb", "?units=us", {"value": 1.5, "unit": "lb"}),
        ("weight", "0 kg", "", {"value": 0, "unit": "kg"}),
        ("amount", "3 gal", "?units=us", {"value": 3, "unit": "gal"}),
        ("amount", "3 gal", "?units=metric", {"value": 11.356235, "unit": "L"}),
        ("amount", "500 g", "", {"value": 0.5, "unit": "kg"}),
        ("percent", 1.8, "", 1.8),
        ("percent", 2, "", 2),
        ("made_on", "2024-02-29", "", "2024-02-29"),
    ],
)
def test_what_was_read_is_shown_in_the_units_asked_for(
    client: FlaskClient, name: str, text: object, query: str, shown: object
) -> None:
    """Else in the yard's own."""
    answer = echo(client, {name: text}, query)
    assert answer.json[name] == shown


@pytest.mark.parametrize("query", ["?units=imperial", "?units=", "?units=US", "?units=us&units=us"])
def test_units_that_there_are_not_are_refused(client: FlaskClient, query: str) -> None:
    """Metric or us, and said once."""
    answer = echo(client, {}, query)
    assert answer.status_code == 422
    assert answer.json["parameter"] == "units"


@pytest.mark.parametrize(
    ("second", "opens", "closes"),
    [
        ("1774000000.2", "09:46:41", "09:46:40"),
        ("1774000000", "09:46:40", "09:46:40"),
        ("1774000000.999", "09:46:41", "09:46:40"),
    ],
)
def test_windows_are_shown_inwards(
    client: FlaskClient, second: str, opens: str, closes: str
) -> None:
    """Opens late and closes early, whatever the fraction."""
    answer = echo(client, {}, f"?second={second}")
    assert answer.json["opens"] == f"2026-03-20T{opens}+00:00"
    assert answer.json["closes"] == f"2026-03-20T{closes}+00:00"


def test_moments_are_shown_on_the_yards_clock(client: FlaskClient) -> None:
    """With the offset of that day: in Lisbon the clocks go forward on 29 March 2026."""
    winter, summer = (int(datetime(2026, 3, 29, hour, tzinfo=UTC).timestamp()) for hour in (0, 1))
    assert echo(client, {}, f"?second={winter}").json["opens"] == "2026-03-29T00:00:00+00:00"
    assert echo(client, {}, f"?second={summer}").json["opens"] == "2026-03-29T02:00:00+01:00"


@example(datetime(2515, 1, 1, 0, 0, 0, 999999), 0, "T")  # where a float rounds it up
@given(
    st.datetimes(datetime(1971, 1, 1), datetime(2999, 12, 30)),
    st.integers(-14 * 60, 14 * 60),
    st.sampled_from(["T", "t", " "]),
)
def test_a_moment_is_the_same_wherever_it_is_written(
    local: datetime, offset: int, between: str
) -> None:
    """Any offset, and a fraction of a second dropped."""
    moment = local.replace(tzinfo=timezone(timedelta(minutes=offset)))
    loaded = Moments().load({"at": moment.isoformat(between)})["at"]
    assert loaded == moment.replace(microsecond=0).timestamp()


@given(st.text(max_size=80) | st.from_regex(r"[0-9]{1,20}([.,/][0-9]{1,20})? ?[a-zA-Z*^/0-9]{0,9}"))
def test_no_text_of_a_quantity_breaks_the_service(text: str) -> None:
    """It is an amount within reach, or a refusal; never anything else, and never a hang."""
    field = fields.AnyQuantity((q.MASS, q.VOLUME, q.LENGTH, q.COUNT), or_all=True)
    try:
        loaded = field.deserialize(text)
    except ValidationError:
        return
    assert loaded == fields.ALL or abs(loaded[0]) <= 10**15
