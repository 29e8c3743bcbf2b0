"""Every address of the service, asked for what no client should ask: a refusal each time.

The addresses, and a body that is right but for one thing, come from the service's own
description; so a new resource is tried without a line added here.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from copy import deepcopy
from typing import Any

import pytest
from cureyard_service.store.engine.database import db
from cureyard_service.web import problems
from cureyard_service.web.app import create_app
from cureyard_service.web.context.settings import Settings
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from ...engines import Engine
from ..addresses import address
from ..conftest import MORNING, Clock, new_yard

JSON = "application/json"

HOSTILE: tuple[Any, ...] = (
    None, True, 0, -1, 1.5, 2**63, 2**70, -(2**70), 1e300, 5e-324, 1e-5, "", " ", "0", "12.5",
    "9**9**9 kg", "1e999 kg", "nan kg", "-5 kg", "0 kg", "-300 degC", "999999999999 kg", "1 mg",
    "0.000000001 g", "1 furlong", "1 kg", "1 m", "1 um", "1 h", "1 s", "9999 d", "20 degC", "0 K",
    "1 K", "99999 degC", "1 kg/L", "999 kg/L", "x" * 100_000, "nul\x00", "tur\u202end", "'; --",
    "../../etc", "{{7*7}}", "1970-01-01", "2999-12-31", "1970-01-02T00:00:00Z",
    "2999-12-31T23:59:59Z", "23:59", "24:00", "all", [], [[]], [None], [1] * 300, {}, {"": {}},
    {"value": 1, "unit": "kg"}, ["x", {"a": []}],
)  # fmt: skip
"""Values of every kind; each of them is wrong almost everywhere."""

BODIES = (
    b"", b"{", b"null", b"[]", b"1", b'"x"', b"\xff", b"[" * 10_000 + b"]" * 10_000,
    b"x" * 1_100_000,
    b'{"x": NaN}', b'{"a": 1, "a": 2}', b'{"\\ud800": 1}',
)  # fmt: skip

RIGHT: tuple[tuple[str, str, dict[str, Any]], ...] = (
    ("post", "/v1/products", {
        "code": "PEROX-9", "name": "Peroxide", "role": "catalyst", "density": "1.15 kg/L"}),
    ("post", "/v1/products", {
        "code": "MAT-450", "name": "Mat", "role": "reinforcement", "width": "1.25 m",
        "areal_weight": "450 g/m2", "fibre_fraction": 0.3, "supplier": "none"}),
    ("post", "/v1/products", {
        "code": "LAM-PE", "name": "Polyester", "role": "resin", "chemistry": "polyester",
        "density": "1.10 kg/L", "cured_density": "1.2 kg/L", "shelf_life": "180 d",
        "open_life": "90 d", "life_type": "II", "effects": ["promotes"],
        "storage_min": "5 degC", "storage_max": "25 degC",
        "cure": [{
            "with": ["PEROX-9"], "mix": {"kind": "catalysed"}, "surface": "air_inhibited",
            "reference": {"temperature": "20 degC", "catalyst_percent": 2},
            "gel_times": [
                {"temperature": "15 degC", "catalyst_percent": 2, "from": "25 min", "to": "30 min"},
                {"temperature": "30 degC", "catalyst_percent": 1, "time": "18 min"}],
            "catalyst_percent_min": 1, "catalyst_percent_max": 2.5, "temperature_min": "15 degC",
            "milestones": {"recoat_opens": "2 h", "recoat_closes": "24 h",
                           "sandable": {"time": "20 h", "temperature": "23 degC"}},
            "closes_after": "20 h", "cold_max": "12 h", "gel_mass": "100 g", "pot_max": "2 kg",
            "build_max": "6 mm", "film_gel": "40 min"}]}),
    ("post", "/v1/bays", {
        "code": "SHED", "title": "Laminating shed", "day": "21 degC", "night": "16 degC",
        "day_from": "07:00", "day_until": "18:00", "uncertainty": "2 K", "gap_max": "2 h"}),
    ("patch", "/v1/bays/SHED", {"night": "17 degC", "day_from": "06:30", "gap_max": "3 h"}),
    ("post", "/v1/bays/SHED/readings", {"readings": [
        {"at": "2026-03-20T07:00:00Z", "temperature": "18.5 degC"}]}),
    ("post", "/v1/bays/SHED/readings", {"readings": [
        {"at": "2026-03-20T08:00:00+01:00", "temperature": "18 degC", "humidity_percent": 62,
         "replaces": True, "reason": "misread"}]}),
    ("post", "/v1/lots", {
        "product": "LAM-PE", "number": "B-2207", "container": "2", "quantity": "500 kg",
        "made_on": "2026-01-10", "received_on": "2026-03-19", "bay": "SHED", "supplier": "none",
        "unit_cost": {"amount": 1900.5, "currency": "EUR"}}),
    ("post", "/v1/lots", {
        "product": "PEROX-9", "number": "P-1", "quantity": "50 L", "expires_on": "2026-12-31"}),
    ("post", "/v1/lots", {
        "product": "MAT-450", "number": "R-1", "quantity": "100 m", "at": "2026-03-19T08:00:00Z",
        "cost_per": {"amount": 3.2, "per": "sq m", "currency": "EUR"}}),
    ("post", "/v1/lots", {
        "product": "LAM-PE", "number": "B-3000", "quantity": "20 kg",
        "cost": {"amount": 92, "currency": "EUR"}}),
    ("patch", "/v1/lots/1", {"bay": "SHED", "reason": "warmer", "opened_on": "2026-03-20"}),
    ("post", "/v1/jobs", {
        "number": "26-014", "title": "Keel", "craft": "the dory Teal", "structural": "yes",
        "authority": "class", "at": "2026-03-19T08:00:00Z"}),
    ("patch", "/v1/jobs/26-014", {"title": "Keel bolts", "craft": "Teal", "structural": "no"}),
    ("post", "/v1/doses", {
        "resin": "LAM-PE", "amount": "300 g", "temperature": "19 degC", "target_gel": "25 min",
        "catalyst": "PEROX-9", "filled": False, "mixing": "1 min"}),
    ("post", "/v1/batches", {
        "resin": "LAM-PE", "amount": "300 g", "bay": "SHED", "catalyst_percent": 1.5,
        "job": "26-014", "resin_lot": 1, "catalyst_lot": 2, "mixed_at": "2026-03-20T09:30:00Z",
        "fillers": [{"product": "MAT-450", "quantity": "0.1 m"}]}),
    ("post", "/v1/batches/1/observations", {
        "kind": "gelled", "at": "2026-03-20T09:45:00Z", "note": "warm"}),
    ("post", "/v1/layups", {
        "job": "26-014", "title": "Plies 1 to 3", "kind": "laminate", "bay": "SHED",
        "batches": [1], "applied_at": "2026-03-20T09:35:00Z", "cover": "none",
        "finished_at": "2026-03-20T09:40:00Z", "surface_temperature": "18 degC",
        "thickness": "3 mm"}),
    ("patch", "/v1/layups/1", {"title": "Plies 1 to 4", "bay": "SHED"}),
    ("post", "/v1/layups/1/observations", {
        "kind": "hardness", "at": "2026-03-20T09:46:00Z", "value": 30, "note": "soft"}),
    ("post", "/v1/movements", {
        "kind": "draw", "product": "MAT-450", "quantity": "2.4 m", "job": "26-014",
        "at": "2026-03-20T09:00:00Z", "reason": "ply 1"}),
    ("post", "/v1/lots/1/cup-tests", {
        "catalyst_lot": 2, "mass": "100 g", "temperature": "21 degC", "catalyst_percent": 2,
        "gel_times": ["16 min", "17 min"]}),
)  # fmt: skip
"""A day at the yard that is right in every line, and holds nearly every field that there is."""


@pytest.fixture(scope="module")
def client(engine: Engine) -> Iterator[FlaskClient]:
    """A service with a day's work in its store, so that a body gets past the first look-up."""
    with engine.copy(new_yard) as url:
        client = create_app(Settings(database=url, zone="UTC"), clock=Clock(MORNING)).test_client()
        for method, where, body in RIGHT:
            answer = client.open(where, method=method, json=body, headers={"If-Match": "*"})
            assert answer.status_code in (200, 201), (where, answer.text)
        yield client
        db.close()


def bodies(client: FlaskClient) -> Iterator[tuple[str, str, Any]]:
    """Method, address and a body for every operation that takes one.

    From the day above, and for what it does not touch the description's own example.
    """
    yield from RIGHT
    done = {(method, where) for method, where, _body in RIGHT}
    for method, where, body in described(client):
        if (method, where) not in done:
            yield method, where, body


def described(client: FlaskClient) -> Iterator[tuple[str, str, Any]]:
    """Method, address and example of every operation that takes a body but a picture's: for these
    see `test_photographs`.
    """
    document = client.get("/openapi.json").json
    for path, methods in document["paths"].items():
        for method, operation in methods.items():
            if "requestBody" in operation:
                content = operation["requestBody"]["content"]
                if "image/png" not in content:
                    yield method, address(path), example(content)


def example(content: dict[str, Any]) -> Any:
    """The first worked example of a body; a table as the member of one that it may also be."""
    for kind, shown in content.items():
        for each in shown.get("examples", {}).values():
            return each["value"] if kind == JSON else {"table": each["value"]}
    raise AssertionError(f"no example: {content}")


def spoilt(body: Any, value: Any) -> Iterator[Any]:
    """A body with the value in each of its places in turn, and beside them."""
    if isinstance(body, dict):
        yield body | {"no such name": value}
    for name in body if isinstance(body, dict) else range(len(body)):
        yield _with(body, name, value)
        if isinstance(body[name], (dict, list)):
            for inner in spoilt(body[name], value):
                yield _with(body, name, inner)


def _with(body: Any, name: Any, value: Any) -> Any:
    copy = deepcopy(body)
    copy[name] = value
    return copy


def faulty(answer: TestResponse) -> bool:
    """Whether an answer is neither done nor a refusal as it should be."""
    if answer.status_code < 300:
        return False
    if not 400 <= answer.status_code < 500 or answer.mimetype != problems.MEDIA_TYPE:
        return True
    slug = answer.json["type"].rpartition("/")[2]
    told = answer.json["detail"] and answer.json["changed"] is False
    return (
        not told or problems.TABLE[slug].status != answer.status_code or len(answer.data) > 40_000
    )


SUMS = ("/v1/estimates/", "/v1/doses", "/v1/plans")
"""Nothing of these is kept, so they are asked on one engine alone."""


def test_no_value_in_any_place_of_any_body_is_a_fault(client: FlaskClient, engine: Engine) -> None:
    """Done where it happens to be right, refused by its slug where it is not; never a 500."""
    found = []
    for method, where, right in bodies(client):
        if where.startswith(SUMS) and engine.name != "sqlite":
            continue
        for value in HOSTILE:
            for body in spoilt(right, value):
                answer = client.open(where, method=method, json=body, headers={"If-Match": "*"})
                if faulty(answer):
                    found.append((method, where, json.dumps(body)[:300], answer.text[:300]))
    assert not found, f"{len(found)}: {found[:10]}"


@pytest.mark.parametrize("raw", BODIES)
def test_no_body_is_a_fault(client: FlaskClient, raw: bytes) -> None:
    """Whatever the address, what is not its body is refused."""
    for method, where, _body in described(client):
        answer = client.open(
            where, method=method, data=raw, content_type=JSON, headers={"If-Match": "*"}
        )
        assert answer.status_code in (400, 413, 422), (method, where, answer.text)
        assert not faulty(answer), (method, where, answer.text)


@pytest.mark.parametrize(
    "query", ["units=x", "limit=0", "limit=x", "after=x", "x=1", "units=us&units=us", "%00=%FF"]
)
def test_no_query_is_a_fault(client: FlaskClient, query: str) -> None:
    """A query that means nothing is refused wherever it stands."""
    for path, methods in client.get("/openapi.json").json["paths"].items():
        if "get" in methods:
            answer = client.get(f"{address(path)}?{query}")
            assert answer.status_code == 422, (path, answer.text)
            assert not faulty(answer)


@pytest.mark.parametrize("hole", ["-1", "99999999999999999999", "x" * 40, "%00", "%F0%9F", "a b"])
def test_no_address_is_a_fault(client: FlaskClient, hole: str) -> None:
    """What is not there, and what could not be, is not found."""
    for path, methods in client.get("/openapi.json").json["paths"].items():
        if "{" in path and "get" in methods:
            where = "/".join(hole if step.startswith("{") else step for step in path.split("/"))
            answer = client.get(where)
            assert answer.status_code == 404, (where, answer.text)
            assert not faulty(answer)


def test_every_list_and_thing_can_be_shown(client: FlaskClient) -> None:
    """After all that, in either system of units, everything still answers."""
    for path, methods in client.get("/openapi.json").json["paths"].items():
        for units in ("us", "metric") if "get" in methods else ():
            named = any(p["name"] == "units" for p in methods["get"]["parameters"])
            answer = client.get(address(path) + (f"?units={units}" if named else ""))
            assert answer.status_code in (200, 404), (path, answer.text)
