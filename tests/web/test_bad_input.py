"""Bad input: the right problem, nothing changed in any table, and no waiting."""

from __future__ import annotations

import json
from collections.abc import Iterator
from time import perf_counter
from typing import Any

import pytest
from cureyard_service.store.database import db
from cureyard_service.web.app import create_app
from cureyard_service.web.settings import Settings
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from ..engines import Engine
from .conftest import MORNING, new_yard

LONGEST_S = 2.0
"""Far more than any refusal takes, far less than a hang."""

CURE = {
    "with": ["PEROX"],
    "mix": {"kind": "catalysed"},
    "surface": "air_inhibited",
    "reference": {"temperature": "20 degC", "catalyst_percent": 2},
    "gel_times": [
        {"temperature": "15 degC", "catalyst_percent": 2, "time": "28 min"},
        {"temperature": "25 degC", "catalyst_percent": 2, "time": "14 min"},
    ],
    "catalyst_percent_min": 1,
    "catalyst_percent_max": 3,
    "milestones": {"recoat_opens": "2 h"},
    "pot_max": "3 kg",
}
PRODUCT = {"code": "NEW", "name": "New resin", "role": "resin", "cure": CURE}
LOT = {"product": "LAM", "number": "B-2", "quantity": "5 kg"}
DRAW = {"kind": "draw", "lot": 2, "quantity": "1 kg", "job": "D-7"}
POT = {
    "resin": "LAM", "amount": "1 kg", "temperature": "20 degC", "catalyst_percent": 2, "job": "D-7",
}  # fmt: skip
DOSE = {name: value for name, value in POT.items() if name != "job"}
LAYUP = {"job": "D-7", "title": "Plies", "kind": "laminate", "bay": "SHED", "batches": [1]}
BAY = {
    "code": "TENT", "title": "Tent", "day": "20 degC", "night": "15 degC",
    "day_from": "07:00", "day_until": "19:00",
}  # fmt: skip
NOON = "2026-03-20T08:00:00Z"
READING = {"at": NOON, "temperature": "18 degC"}
CUP = {
    "catalyst_lot": 1, "mass": "100 g", "temperature": "20 degC", "catalyst_percent": 2,
    "gel_times": ["20 min"],
}  # fmt: skip

SEED: tuple[tuple[str, dict[str, Any]], ...] = (
    ("/v1/products", {"code": "PEROX", "name": "Peroxide", "role": "catalyst"}),
    ("/v1/products", {**PRODUCT, "code": "LAM", "density": "1.1 kg/L"}),
    ("/v1/bays", {**BAY, "code": "SHED"}),
    ("/v1/jobs", {"number": "D-7", "title": "Stem", "craft": "Teal"}),
    ("/v1/lots", {"product": "PEROX", "number": "P-1", "quantity": "1 kg"}),
    ("/v1/lots", {"product": "LAM", "number": "B-1", "quantity": "20 kg"}),
    ("/v1/bays/SHED/readings", {"readings": [READING]}),
    ("/v1/batches", POT),
    ("/v1/layups", LAYUP),
)


@pytest.fixture(scope="module")
def yard(engine: Engine) -> Iterator[FlaskClient]:
    """A yard with a resin, its catalyst, a drum, a bay, a job, a pot and a layup.

    One for all tests: each holds that its refusals left every row as it was.
    """
    with engine.copy(new_yard) as url:
        app = create_app(Settings(database=url, zone="UTC", hand="Ines"), clock=lambda: MORNING)
        client = app.test_client()
        for address, body in SEED:
            answer = client.post(address, json=body)
            assert answer.status_code == 201, answer.json
        yield client
        db.close()


def digest() -> dict[str, list[Any]]:
    """Every row of every table."""
    return {
        name: sorted(db.execute_sql(f'SELECT * FROM "{name}"').fetchall(), key=repr)
        for name in sorted(db.get_tables())
    }


def refused(
    client: FlaskClient, path: str, status: int, slug: str, method: str = "POST", **sent: Any
) -> dict[str, Any]:
    """Send what must be refused, hold it to all that a refusal promises, give its words."""
    before, started = digest(), perf_counter()
    headers = {"Idempotency-Key": "once-only"} | sent.pop("headers", {})
    answer: TestResponse = client.open(path, method=method, headers=headers, **sent)
    took = perf_counter() - started
    assert (answer.status_code, answer.mimetype) == (status, "application/problem+json"), (
        answer.get_data(as_text=True)[:500]
    )
    told: dict[str, Any] = answer.get_json()
    assert told["type"] == f"http://localhost/problems/{slug}"
    assert told["status"] == status
    assert told["changed"] is False
    assert told["detail"]
    assert len(answer.get_data()) < 20_000
    assert took < LONGEST_S
    assert digest() == before
    return told


PLACES = {
    "a delivery": ("/v1/lots", LOT, "quantity"),
    "a draw": ("/v1/movements", DRAW, "quantity"),
    "a dose": ("/v1/doses", DOSE, "amount"),
    "a pot": ("/v1/batches", POT, "amount"),
    "a thickness": ("/v1/layups", LAYUP, "thickness"),
    "a density": ("/v1/products", PRODUCT, "density"),
    "a cup": ("/v1/lots/2/cup-tests", CUP, "mass"),
}
TEXTS: dict[str, tuple[Any, str]] = {
    "a bare number": (12, "unit-missing"),
    "a number in quotes": ("12", "unit-missing"),
    "a unit of the wrong kind": ("12 degC", "unit-mismatch"),
    "an unknown unit": ("12 hogsheads", "unit-mismatch"),
    "a tower of powers": ("9**9**9**9 kg", "validation"),
    "an infinite number": ("1e999 kg", "validation"),
    "infinity": ("inf kg", "validation"),
    "nan": ("nan kg", "validation"),
    "a decimal comma": ("1,5 kg", "validation"),
    "a sum": ("5 kg + 3 kg", "validation"),
    "100 kB of text": ("9" * 100_000, "validation"),
    "100 kB of unit": ("9 " + "k" * 100_000, "validation"),
    "nothing": ("", "validation"),
    "null": (None, "validation"),
    "a list": (["12 kg"], "validation"),
}
LESS_THAN_NOTHING = {
    "a delivery": "-1 kg", "a draw": "-1 kg", "a dose": "-1 kg", "a pot": "-1 kg",
    "a thickness": "-1 mm", "a density": "-1 kg/L", "a cup": "-100 g",
}  # fmt: skip


@pytest.mark.parametrize("text", TEXTS)
@pytest.mark.parametrize("place", PLACES)
def test_what_is_no_amount(yard: FlaskClient, place: str, text: str) -> None:
    """Wherever an amount is asked for, what is none is told where it stands."""
    path, body, name = PLACES[place]
    value, slug = TEXTS[text]
    told = refused(yard, path, 422, slug, json={**body, name: value})
    assert told["pointer"] == f"/{name}"


@pytest.mark.parametrize("place", PLACES)
def test_less_than_nothing(yard: FlaskClient, place: str) -> None:
    """A negative amount is no return, and no credit."""
    path, body, name = PLACES[place]
    told = refused(
        yard, path, 422, "validation", json={**body, name: LESS_THAN_NOTHING[place]}
    )  # fmt: skip
    assert told["pointer"] == f"/{name}"


def test_a_missing_unit_says_which_fit(yard: FlaskClient) -> None:
    """The hand learns what to write."""
    told = refused(yard, "/v1/lots", 422, "unit-missing", json={**LOT, "quantity": "12"})
    assert "kg" in told["detail"] + told["advice"]


@pytest.mark.parametrize("percent", [0.99, 3.01, 50])
@pytest.mark.parametrize("path", ["/v1/doses", "/v1/batches"])
def test_a_percent_outside_the_limits(yard: FlaskClient, path: str, percent: float) -> None:
    """The limits are in the answer, for the hand and for a program."""
    body = (DOSE if path == "/v1/doses" else POT) | {"catalyst_percent": percent}
    told = refused(yard, path, 422, "outside-limits", json=body)
    assert (told["least"], told["greatest"]) == (1.0, 3.0)


@pytest.mark.parametrize("percent", [0, -1, 101, "2", "2 %", True, None, [2]])
def test_a_percent_that_is_none(yard: FlaskClient, percent: Any) -> None:
    """A plain number over nothing and up to a hundred, and nothing that only looks like it."""
    told = refused(
        yard, "/v1/batches", 422, "validation", json={**POT, "catalyst_percent": percent}
    )
    assert told["pointer"] == "/catalyst_percent"


@pytest.mark.parametrize(
    ("path", "body", "name"),
    [
        ("/v1/movements", DRAW, "at"),
        ("/v1/movements", {"kind": "count", "lot": 2, "quantity": "18 kg"}, "counted_at"),
        ("/v1/batches", POT, "mixed_at"),
        ("/v1/layups", LAYUP, "applied_at"),
        ("/v1/layups", LAYUP, "finished_at"),
        ("/v1/batches/1/observations", {"kind": "gelled"}, "at"),
        ("/v1/layups/1/observations", {"kind": "gelled"}, "at"),
        ("/v1/lots/2/cup-tests", CUP, "at"),
    ],
)
@pytest.mark.parametrize(
    "moment", ["2031-03-20T10:00:00Z", "9999-12-31T23:59:59Z", "2026-03-20T10:00:00Z"]
)
def test_a_time_to_come(
    yard: FlaskClient, path: str, body: dict[str, Any], name: str, moment: str
) -> None:
    """Years ahead, at the end of the calendar, or a quarter of an hour."""
    told = refused(yard, path, 422, "validation", json={**body, name: moment})
    assert told["pointer"] == f"/{name}"


@pytest.mark.parametrize("day", ["2031-03-20", "9999-12-31", "2026-02-30", "20-03-2026", 20260320])
def test_a_day_that_is_none_or_to_come(yard: FlaskClient, day: Any) -> None:
    """Nothing is received tomorrow, nor on the 30th of February."""
    told = refused(yard, "/v1/lots", 422, "validation", json={**LOT, "received_on": day})
    assert told["pointer"] == "/received_on"


@pytest.mark.parametrize(
    ("change", "slug", "pointer"),
    [
        ({"temperature": "-300 degC"}, "validation", "/readings/0/temperature"),
        ({"temperature": "-273.16 degC"}, "validation", "/readings/0/temperature"),
        ({"temperature": "-500 degF"}, "validation", "/readings/0/temperature"),
        ({"temperature": "-70 degC"}, "validation", "/readings/0/temperature"),
        ({"temperature": "500 degC"}, "validation", "/readings/0/temperature"),
        ({"temperature": "18"}, "unit-missing", "/readings/0/temperature"),
        ({"temperature": "18 kg"}, "unit-mismatch", "/readings/0/temperature"),
        ({"humidity_percent": 101}, "validation", "/readings/0/humidity_percent"),
        ({"humidity_percent": -1}, "validation", "/readings/0/humidity_percent"),
        ({"at": "2036-03-20T08:00:00Z"}, "validation", "/readings/0/at"),
        ({"at": "2026-03-20T08:00:00"}, "validation", "/readings/0/at"),
        ({"at": "yesterday"}, "validation", "/readings/0/at"),
    ],
)
def test_a_reading_that_no_bay_has(
    yard: FlaskClient, change: dict[str, Any], slug: str, pointer: str
) -> None:
    """A broken thermometer, a broken clock, a missing offset."""
    body = {"readings": [{"at": "2026-03-20T07:00:00Z", "temperature": "18 degC", **change}]}
    told = refused(yard, "/v1/bays/SHED/readings", 422, slug, json=body)
    assert told["pointer"] == pointer


def test_two_readings_of_one_moment_that_differ(yard: FlaskClient) -> None:
    """Against the store, within one post, and in a logger's file: 409, and none is kept."""
    path, other = "/v1/bays/SHED/readings", {**READING, "temperature": "18.5 degC"}
    fresh = {"at": "2026-03-20T09:00:00Z", "temperature": "19 degC"}
    twice = [fresh, {**fresh, "temperature": "20 degC"}]
    refused(yard, path, 409, "reading-differs", json={"readings": [fresh, other]})
    refused(yard, path, 409, "reading-differs", json={"readings": twice})
    refused(
        yard, path, 409, "reading-differs", content_type="text/csv",
        data=f"at,temperature\n2026-03-20T09:00:00Z,19 degC\n{NOON},18.5 degC\n",
    )  # fmt: skip


def with_gel_times(*points: tuple[str, float, str]) -> dict[str, Any]:
    """A product whose sheet has these gel times."""
    names = ("temperature", "catalyst_percent", "time")
    return {**PRODUCT, "cure": {**CURE, "gel_times": [dict(zip(names, p)) for p in points]}}  # noqa: B905


@pytest.mark.parametrize(
    "body",
    [
        with_gel_times(("15 degC", 2, "14 min"), ("25 degC", 2, "28 min")),
        with_gel_times(("15 degC", 2, "20 min"), ("25 degC", 2, "20 min")),
        with_gel_times(("15 degC", 2, "10 h"), ("25 degC", 2, "1 min")),
        with_gel_times(("20 degC", 1, "14 min"), ("20 degC", 2, "28 min")),
    ],
    ids=["slower when warmer", "no faster when warmer", "absurdly fast", "slower with more"],
)
def test_a_sheet_against_chemistry(yard: FlaskClient, body: dict[str, Any]) -> None:
    """On a new product and on one that is there: refused, and the old sheet stands."""
    refused(yard, "/v1/products", 422, "cure-sheet-inconsistent", json=body)
    refused(
        yard, "/v1/products/LAM", 422, "cure-sheet-inconsistent", method="PATCH",
        json={"cure": body["cure"]}, headers={"If-Match": '"1"'},
    )  # fmt: skip


@pytest.mark.parametrize(
    ("path", "body"),
    [
        ("/v1/lots", {**LOT, "number": "B-1"}),
        ("/v1/lots", {**LOT, "number": "b-1"}),
        ("/v1/products", {**PRODUCT, "code": "lam"}),
        ("/v1/bays", {**BAY, "code": "Shed"}),
        ("/v1/jobs", {"number": "d-7", "title": "Stem", "craft": "Teal"}),
    ],
)
def test_what_is_there_already(yard: FlaskClient, path: str, body: dict[str, Any]) -> None:
    """A duplicate lot, product, bay or job, large and small letters alike."""
    refused(yard, path, 409, "already-exists", json=body)


@pytest.mark.parametrize(
    ("path", "body", "pointer"),
    [
        ("/v1/lots", {**LOT, "product": "NONE"}, "/product"),
        ("/v1/lots", {**LOT, "bay": "NONE"}, "/bay"),
        ("/v1/movements", {**DRAW, "lot": 99}, "/lot"),
        ("/v1/movements", {**DRAW, "lot": 2**63 - 1}, "/lot"),
        ("/v1/movements", {**DRAW, "job": "NONE"}, "/job"),
        ("/v1/doses", {**DOSE, "resin": "NONE"}, "/resin"),
        ("/v1/batches", {**POT, "resin": "NONE"}, "/resin"),
        ("/v1/batches", {**POT, "resin_lot": 99}, "/resin_lot"),
        ("/v1/layups", {**LAYUP, "batches": [99]}, "/batches/0"),
        ("/v1/layups", {**LAYUP, "over": 99}, "/over"),
        ("/v1/lots/2/cup-tests", {**CUP, "catalyst_lot": 99}, "/catalyst_lot"),
        ("/v1/products", {**PRODUCT, "cure": {**CURE, "with": ["NONE"]}}, "/cure/with"),
    ],
)
def test_what_the_store_does_not_have(
    yard: FlaskClient, path: str, body: dict[str, Any], pointer: str
) -> None:
    """An unknown product, lot, job, bay, pot or layup, named in a body."""
    assert refused(yard, path, 422, "unknown-reference", json=body)["pointer"] == pointer


@pytest.mark.parametrize(("open_", "close"), [("[", "]"), ('{"a":', "}")])
def test_json_nested_ten_thousand_deep(yard: FlaskClient, open_: str, close: str) -> None:
    """As the body itself, and inside a field of it."""
    deep = open_ * 10_000 + "1" + close * 10_000
    for data in (deep, json.dumps({**LOT, "quantity": 0}).replace("0}", f"{deep}}}")):
        refused(yard, "/v1/lots", 400, "unreadable", data=data, content_type="application/json")


@pytest.mark.parametrize(
    "data", ["", "{", "kg", '{"product": NaN}', '{"a": 1e999}', '{"a": 1, "a": 2}', b"\xff\xfe",
             '{"quantity": ' + "9" * 10_000 + "}"],
)  # fmt: skip
def test_what_is_no_json(yard: FlaskClient, data: str | bytes) -> None:
    """Broken, or with numbers that JSON does not have."""
    refused(yard, "/v1/lots", 400, "unreadable", data=data, content_type="application/json")


@pytest.mark.parametrize("body", [[], "LAM", 12, None, True])
def test_json_that_is_no_object(yard: FlaskClient, body: Any) -> None:
    """It can be read, and says nothing of a delivery."""
    refused(yard, "/v1/lots", 422, "validation", data=json.dumps(body),
            content_type="application/json")  # fmt: skip


@pytest.mark.parametrize(
    ("kind", "size"), [("application/json", 1024 * 1024), ("text/csv", 16 * 1024 * 1024)]
)
def test_a_body_over_the_limit(yard: FlaskClient, kind: str, size: int) -> None:
    """One byte more than is read: refused unread."""
    path = "/v1/bays/SHED/readings"
    refused(yard, path, 413, "too-large", data=b" " * (size + 1), content_type=kind)


def test_a_body_of_another_kind(yard: FlaskClient) -> None:
    """A form is no JSON, and a table is no delivery."""
    refused(yard, "/v1/lots", 415, "media-type", data={"product": "LAM"})
    refused(yard, "/v1/lots", 415, "media-type", data="a,b", content_type="text/csv")


IDS = ["x", "1.5", "-1", "0", "1e3", str(2**63), "9" * 400, "1 OR 1=1", "%00", "١", "+1", "0x1"]


@pytest.mark.parametrize("number", IDS)
def test_an_id_that_is_none(yard: FlaskClient, number: str) -> None:
    """Not found, in every place of an address that has one."""
    for path in ("/v1/lots/{}", "/v1/lots/{}/trace", "/v1/batches/{}", "/v1/layups/{}"):
        refused(yard, path.format(number), 404, "not-found", method="GET")
    refused(yard, f"/v1/lots/{number}/cup-tests", 404, "not-found", json=CUP)
    refused(yard, f"/v1/layups/{number}/observations", 404, "not-found", json={"kind": "gelled"})


@pytest.mark.parametrize("lot", ["2", "x", 1.5, 0, -1, 2**63, True, [2], {"id": 2}, None])
def test_an_id_in_a_body_that_is_none(yard: FlaskClient, lot: Any) -> None:
    """A whole number over nothing, and nothing that only looks like one."""
    told = refused(yard, "/v1/movements", 422, "validation", json={**DRAW, "lot": lot})
    assert told["pointer"] == "/lot"


@pytest.mark.parametrize("code", ["", " ", "-A", "A B", "é", "A" * 33, "../A", "A\n", 7, None])
def test_a_code_that_is_none(yard: FlaskClient, code: Any) -> None:
    """Codes fit on a label and into an address."""
    told = refused(yard, "/v1/products", 422, "validation", json={**PRODUCT, "code": code})
    assert told["pointer"] == "/code"


def test_fields_and_names_that_nobody_knows(yard: FlaskClient) -> None:
    """A slip of the pen is not passed over in silence."""
    refused(yard, "/v1/lots", 422, "validation", json={**LOT, "expires": "2027-01-01"})
    refused(yard, "/v1/lots?colour=red", 422, "validation", method="GET")
    refused(yard, "/v1/lots?limit=0", 422, "validation", method="GET")
    refused(yard, "/v1/lots?limit=201", 422, "validation", method="GET")


def test_long_words(yard: FlaskClient) -> None:
    """100 kB of text where a title goes, and as a name of a field: told in a few lines."""
    long = "x" * 100_000
    job = {"number": "D-8", "title": "Stem", "craft": "Teal"}
    refused(yard, "/v1/jobs", 422, "validation", json={**job, "title": long})
    refused(yard, "/v1/jobs", 422, "validation", json={**job, long: "x"})
    refused(yard, "/v1/jobs", 422, "validation", json={**job, "structural": long})


def test_several_faults_are_told_together(yard: FlaskClient) -> None:
    """Each with its pointer and its own slug."""
    body = {**LOT, "quantity": "12", "made_on": "soon", "number": "?"}
    told = refused(yard, "/v1/lots", 422, "validation", json=body)
    assert {(each["pointer"], each["slug"]) for each in told["errors"]} == {
        ("/quantity", "unit-missing"), ("/made_on", "validation"), ("/number", "validation"),
    }  # fmt: skip


def test_what_an_earlier_moment_knew(yard: FlaskClient) -> None:
    """As known in 1971 or in the year 2999 a layup is still shown; elsewhere it is refused."""
    for year in (1971, 2999):
        moment = f"{year}-01-02T00:00:00Z"
        assert yard.get(f"/v1/layups/1?as_known_at={moment}").status_code == 200
    for text in ("0001-01-01T00:00:00Z", "now", "2026-03-20"):
        refused(yard, f"/v1/layups/1?as_known_at={text}", 422, "validation", method="GET")


def test_the_seed_is_good(yard: FlaskClient) -> None:
    """What the refusals above start from is accepted as it is: they were of what was changed.

    The last test of the file, since it is the one that writes.
    """
    for path, body in (
        ("/v1/products", PRODUCT), ("/v1/lots", LOT), ("/v1/movements", DRAW),
        ("/v1/doses", DOSE), ("/v1/batches", POT), ("/v1/bays", BAY),
        ("/v1/layups", LAYUP), ("/v1/lots/2/cup-tests", CUP),
    ):  # fmt: skip
        assert yard.post(path, json=body).status_code in (200, 201), path
