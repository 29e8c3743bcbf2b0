"""What a small device sends: bare text or a form, strictly read; once for a key, never cross-site.

OWASP API Security Top 10 (2023): API2 broken authentication (secrets), API4 unrestricted resource
consumption (limits), API6 (a reading is not had twice), API8 (origins).
"""

from __future__ import annotations

from typing import Any

import pytest
from cureyard_service.store import tables
from cureyard_service.web.context.throttle import MOST_A_MINUTE
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from ... import makers
from ...putting import by_acts
from ..conftest import MORNING, Clock
from ..tokened import KEEPER, Known, given

FORM = "application/x-www-form-urlencoded"
READINGS = "/v1/bays/SHED/readings"


@pytest.fixture(autouse=True)
def shed(app: object) -> None:
    """The bay that is read."""
    by_acts(MORNING, KEEPER, bays=[makers.bay("SHED")])


@pytest.fixture
def probe(shed: None) -> Known:
    """The shed's sensor, in a yard where everybody shows a token."""
    given("Ada", "admin")
    return given("Probe", "sensor", "SHED")


def sent(client: FlaskClient, body: str | bytes, kind: str = "text/plain", **more: Any) -> Any:
    """The answer to a device's body."""
    answer: TestResponse = client.post(READINGS, data=body, content_type=kind, **more)
    return answer


def kept() -> list[tuple[int, int, int | None, bool]]:
    """The readings in the store: moment, mK, ppm, whether a probe's."""
    rows = tables.Reading.select().order_by(tables.Reading.id)
    return [(row.at, row.temperature_mk, row.humidity_ppm, row.probe) for row in rows]


@pytest.mark.parametrize(
    ("text", "mk", "ppm"),
    [
        ("19.4 degC 58 %", 292_550, 580_000),
        ("19.4degC", 292_550, None),
        ("  19.4 degC\n", 292_550, None),
        ("19.4 °C, 58.5%", 292_550, 585_000),
        ("\ufeff67 degF;58 %", 292_594, 580_000),
        ("-3 degC 90 %", 270_150, 900_000),
        ("292.55 K", 292_550, None),
    ],
)
def test_a_bare_text(client: FlaskClient, text: str, mk: int, ppm: int | None) -> None:
    """A temperature with its unit, and perhaps the humidity; as of now."""
    answer = sent(client, text.encode())
    assert (answer.status_code, answer.json["recorded"]) == (201, 1), answer.text
    assert kept() == [(MORNING, mk, ppm, True)]


@pytest.mark.parametrize(
    ("form", "at", "ppm"),
    [
        ("temperature=19.4+degC&humidity_percent=58", MORNING, 580_000),
        ("temperature=19.4%20degC", MORNING, None),
        ("temperature=19.4+degC&at=2026-03-20T09%3A40%3A00Z", MORNING - 400, None),
    ],
)
def test_a_form(client: FlaskClient, form: str, at: int, ppm: int | None) -> None:
    """By the names of the interface."""
    answer = sent(client, form, FORM)
    assert answer.status_code == 201, answer.text
    assert kept() == [(at, 292_550, ppm, True)]


@pytest.mark.parametrize(
    ("kind", "body"),
    [
        ("text/plain", ""), ("text/plain", "   "), ("text/plain", "19.4"),
        ("text/plain", "19.4 58"), ("text/plain", "58 % 19.4 degC"), ("text/plain", "58 %"),
        ("text/plain", "19.4 degC 58 % 3"), ("text/plain", "19.4 degC 580 %"),
        ("text/plain", "19.4 degC 0 %"), ("text/plain", "nan degC"), ("text/plain", "19,4 degC"),
        ("text/plain", "19.4 degC\n19.5 degC"), ("text/plain", "19.4 kg"),
        ("text/plain", '{"temperature": "19.4 degC"}'), ("text/plain", "19.4 degC" + " " * 200),
        ("text/plain", "\0"), ("text/plain", "19.4 degC 5.8.0 %"),
        (FORM, ""), (FORM, "19.4 degC 58 %"), (FORM, "temperature=19.4"), (FORM, "temperature"),
        (FORM, "temperature=19.4+degC&temperature=20+degC"), (FORM, "temperature=%ff"),
        (FORM, "temperature=19.4+degC&humidity=58"), (FORM, "humidity_percent=58"),
        (FORM, "temperature=19.4+degC&at=yesterday"), (FORM, "temperature=19+degC&replaces=true"),
        (FORM, "temperature=19.4+degC&humidity_percent="), (FORM, "&".join(["a=b"] * 100)),
    ],
)  # fmt: skip
def test_what_is_not_understood_is_refused(client: FlaskClient, kind: str, body: str) -> None:
    """With words, and nothing is kept."""
    answer = sent(client, body, kind)
    assert answer.status_code == 422, answer.text
    assert answer.json["changed"] is False
    assert answer.json["detail"]
    assert kept() == []


@pytest.mark.parametrize(
    ("kind", "body", "status"),
    [
        ("text/plain", b"19.4 degC \xff", 400),
        (FORM, b"temperature=\xff", 400),
        ("text/plain", b"x" * (1024 * 1024 + 1), 413),
        (FORM, b"x" * (1024 * 1024 + 1), 413),
        ("text/html", b"19.4 degC", 415),
        ("multipart/form-data; boundary=x", b"--x--", 415),
    ],
)
def test_limits_and_kinds(client: FlaskClient, kind: str, body: bytes, status: int) -> None:
    """No more than any other body, and no other kinds."""
    assert sent(client, body, kind).status_code == status
    assert kept() == []


@pytest.mark.parametrize("address", ["/v1/jobs", "/v1/lots", "/v1/movements", "/v1/tokens"])
@pytest.mark.parametrize("kind", ["text/plain", FORM])
def test_at_that_one_address_alone(client: FlaskClient, address: str, kind: str) -> None:
    """A form of a page elsewhere never reaches what takes JSON."""
    assert client.post(address, data="19 degC", content_type=kind).status_code == 415


def test_twice_the_same_second_is_once(client: FlaskClient, clock: Clock, probe: Known) -> None:
    """A device sends no key; what differs in one second is refused with words."""
    assert sent(client, "19 degC", headers=probe.bearer).json["recorded"] == 1
    assert sent(client, "19 degC", headers=probe.bearer).json["unchanged"] == 1
    other = sent(client, "19.5 degC", headers=probe.bearer)
    assert (other.status_code, other.json["slug"]) == (409, "reading-differs")
    clock.moment += 1
    assert sent(client, "19.5 degC", headers=probe.bearer).json["recorded"] == 1
    assert len(kept()) == 2


@pytest.mark.parametrize(
    ("kind", "first", "second"),
    [
        ("text/plain", "19 degC", "20 degC"),
        (FORM, "temperature=19+degC", "temperature=20+degC"),
    ],
)
def test_a_key_is_kept(
    client: FlaskClient, clock: Clock, probe: Known, kind: str, first: str, second: str
) -> None:
    """A retry gets the first answer, later too; another body under the key is refused."""
    headers = probe.bearer | {"Idempotency-Key": "one"}
    answers = [sent(client, first, kind, headers=headers)]
    clock.moment += 60
    answers.append(sent(client, first, kind, headers=headers))
    assert [(each.status_code, each.json["recorded"]) for each in answers] == [(201, 1)] * 2
    assert sent(client, second, kind, headers=headers).json["slug"] == "idempotency-conflict"
    assert len(kept()) == 1


@pytest.mark.parametrize("kind", ["text/plain", FORM])
@pytest.mark.parametrize(
    "headers",
    [
        {"Sec-Fetch-Site": "cross-site"},
        {"Sec-Fetch-Site": "same-site"},
        {"Origin": "http://yard.example"},
        {"Origin": "null"},
    ],
)
def test_another_sites_form_changes_nothing(
    client: FlaskClient, kind: str, headers: dict[str, str]
) -> None:
    """A browser sends these two kinds to any site without asking it (Fetch standard, 'simple')."""
    body = "19 degC" if kind == "text/plain" else "temperature=19+degC"
    answer = sent(client, body, kind, headers=headers)
    assert (answer.status_code, answer.json["slug"]) == (403, "cross-site")
    assert kept() == []


def test_without_its_token_it_is_nobody(client: FlaskClient, probe: Known) -> None:
    """In a header alone, and a wrong one is slowed down as everybody's is."""
    assert sent(client, "19 degC").status_code == 401
    told = client.post(f"{READINGS}?token={probe.secret}", data="19 degC")
    assert told.status_code == 401
    assert probe.secret not in told.text
    client.set_cookie("cureyard", probe.secret)
    assert sent(client, "19 degC").status_code == 401
    wrong = {"Authorization": "Bearer wrong"}
    statuses = {
        sent(client, "19 degC", headers=wrong).status_code for _ in range(MOST_A_MINUTE + 2)
    }
    assert statuses == {401, 429}
    assert sent(client, "19 degC", headers=probe.bearer).status_code == 201


def test_its_secret_is_nowhere(client: FlaskClient, probe: Known) -> None:
    """Not in a refusal of its own, nor in a row."""
    answer = client.get("/v1/now", headers=probe.bearer)
    assert answer.status_code == 403
    assert "a sensor here" in answer.json["detail"]
    sent(client, "19 degC", headers=probe.bearer)
    rows = [*tables.Token.select().dicts(), *tables.Reading.select().dicts()]
    assert probe.secret not in answer.text + str(rows)
    assert tables.Reading.get().who == "Probe"


def test_the_description_says_so(client: FlaskClient) -> None:
    """Both kinds, with an example that is taken."""
    operation = client.get("/openapi.json").json["paths"]["/v1/bays/{code}/readings"]["post"]
    content = operation["requestBody"]["content"]
    assert set(content) == {"application/json", "text/csv", "text/plain", FORM}
    (example,) = content["text/plain"]["schema"]["examples"]
    assert sent(client, example).status_code == 201
    assert list(content[FORM]["schema"]["properties"]) == ["temperature", "humidity_percent", "at"]


def test_what_is_doubted_is_in_lists_and_tables(client: FlaskClient, clock: Clock) -> None:
    """Marked as such; the bay and the wall say so, and go by the one before."""
    sent(client, "19 degC")
    clock.moment += 60
    assert sent(client, "44 degC").json["doubted"] == 1
    listed = client.get(READINGS).json["items"]
    assert [each["doubt"] for each in listed] == ["jumped", None]
    lines = client.get("/v1/exports/readings/SHED").text.splitlines()
    assert lines[0].endswith("doubt")
    assert [line.rpartition(",")[2] for line in lines[1:]] == ["", "jumped"]
    shed = client.get("/v1/bays/SHED").json
    assert shed["latest"]["temperature"]["value"] == 19
    assert shed["probe"]["doubted"]["temperature"]["value"] == 44
    wall = " ".join(client.get("/").text.split())
    assert "44 °C at 09:47 not believed" in wall
    for page in ("/bays", "/bays/SHED"):
        assert "44 °C at 09:47 not believed" in " ".join(client.get(page).text.split())
    clock.moment += 3600
    assert "probe silent since 09:47" in " ".join(client.get("/bays/SHED").text.split())
    wall = " ".join(client.get("/").text.split())
    assert "silent since 09:47" in wall
    assert client.get("/v1/now").json["bays"][0]["probe"]["state"] == "silent"
