"""A store with years of rows is asked as few questions as a new one, and none reads it all.

Which addresses there are says the description, and the application of its pages: what is added to
either is asked here by itself, and has to be given rows in `a_round` where it lists some.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from typing import Any

import pytest
from cureyard_service.acts.jobs import photographs
from cureyard_service.acts.wetness import findings
from cureyard_service.acts.yard import finding, phones
from cureyard_service.store.engine.database import db
from flask import Flask
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from ... import makers
from ...acts import sample_yard as yard
from ...bench import plans
from ...putting import by_client, post
from ..conftest import MORNING
from ..tokened import KEEPER, given

pytestmark = pytest.mark.only_on("sqlite")

FEW, MANY = 3, 10
"""Rows of each list."""

DRAW = makers.draw(quantity="10 g")
DOSE = makers.dose(amount="100 g")
POT = makers.pot(amount="100 g")
PLAN = {
    "bay": "SHED",
    "hours": {"days": ["fri", "mon", "tue", "wed"], "from": "08:00", "until": "17:00"},
    "steps": [{"title": "Plies", "product": "LAM", "catalyst_percent": 2, "work": "1 h"}],
}

ACTS: tuple[tuple[str, str, dict[str, Any]], ...] = (
    ("POST", "/v1/movements", DRAW),
    ("POST", "/v1/batches", POT),
    ("POST", "/v1/doses", DOSE),
)
"""What is done every day."""

PLACES = {
    "name": "plan",
    "layup": "1", "lot": "1", "batch": "1", "movement": "1", "number": "D-7", "bay": "SHED",
    "photograph": "1", "kind": "svg", "what": "job", "of": "D-7", "slug": "busy",
    "/v1/products/{code}": "LAM", "/v1/bays/{code}": "SHED", "/v1/meters/{code}": "R-0",
    "/v1/sequences/{name}": "R-0", "record": "1",
    "/products/{code}": "LAM",
    "/bays/{code}": "SHED", "/bays/{code}/undo": "SHED",
}  # fmt: skip
"""What stands in an address for a name; where one name means two things, by its path."""

QUERIES = {"limit": 200, "seconds": 0}
"""The widest look that a list takes, and the shortest at a stream."""

PAGE_QUERIES = {
    "/mix/weigh": "resin=LAM&amount=100%20g&temperature=20%20degC&catalyst_percent=2&job=D-7"
}
"""What a page is asked in its address, without which it has nothing to show."""

NO_ROWS = {
    "/static/{filename}",
    "/docs/viewer/{filename}",
    "/calendar/{secret}.ics",
    "/pair/{code}",
    "/jobs/{number}/cuts/{lot}.svg",
}
"""Files; what is asked here by its own address beside the rest; a lot without a cut."""


@pytest.fixture
def busy(app: Flask, client: FlaskClient) -> FlaskClient:
    """Somebody with a token, at the acts' yard with a few rows of everything."""
    yard.set_up()
    yard.stocked()
    yard.receive("MICROS", "1 kg")
    ada = given("Ada", "admin")
    client.environ_base["HTTP_AUTHORIZATION"] = ada.bearer["Authorization"]
    tells(client, "PUT", "/v1/jobs/D-7/plan", PLAN)
    for number in range(FEW):
        a_round(client, number)
    return client


def tells(client: FlaskClient, method: str, path: str, body: dict[str, Any]) -> Any:
    """What an act answers; it is done."""
    answer = client.open(path, method=method, json=body, headers={"If-Match": "*"})
    assert answer.status_code < 300, f"{method} {path}: {answer.json}"
    return answer.json


def a_round(client: FlaskClient, number: int) -> None:
    """One row more of whatever is listed anywhere, each of things of its own."""
    code = f"R-{number}"
    by_client(
        client, products=[makers.resin(code)], bays=[makers.bay(code)], jobs=[makers.job(code)]
    )
    tells(
        client,
        "PATCH",
        "/v1/products/LAM",
        {"cure": makers.sheet(hardness_min=30 + number, hardness_scale="barcol_934_1")},
    )
    for bay in ("SHED", code):
        read = {"at": f"2026-03-20T0{number // 10}:{number % 10:02}:00Z", "temperature": "20 degC"}
        tells(client, "POST", f"/v1/bays/{bay}/readings", {"readings": [read]})
    stock(client, code)
    work(client, code)
    people(client, code, number)
    seen(number)
    wetness(client, code)
    blister = findings.of_job(finding.job("D-7"), 1)
    if number >= photographs.MOST_OF_FINDING:  # it has no room for one more
        first = finding.photograph(photographs.standing_photographs(blister)[0].id)
        photographs.take_back_photograph(first, reason="a slip", now=MORNING, hand=KEEPER)
    photographed(blister, number)


def wetness(client: FlaskClient, code: str) -> None:
    """A meter, and of a job that all share one more of what is found, measured and noted."""
    mode = {"scale_to": 100, "modes": [{"name": "deep"}]}
    post(client, "meters", {"code": code, "title": "Meter", "kind": "capacitance", **mode})
    read = {"meter": code, "mode": "deep", "placements": [9, 9, 9], "bay": code}
    face = {"surface_temperature": "15 degC"}
    found = {"side": "port", "kind": "hole", "length": "1 mm", "width": "1 mm", "found_by": "eye"}
    film = {"taped_at": "2026-03-18T09:00:00Z", "looked_at": "2026-03-19T10:00:00Z"}
    for what, body in (
        ("findings", found),
        ("moisture-readings", read | face),
        ("moisture-readings", read | face | {"dry_place": True}),
        ("surface-notes", {"kind": "rain"}),
        ("film-tests", film | {"drops": False}),
        ("weighed-samples", {"wet": "2 g", "dried": "1 g"}),
        (
            "leak-tests",
            {
                "first": "9 hPa",
                "second": "9 hPa",
                "first_at": "2026-03-18T09:00:00Z",
                "second_at": "2026-03-18T09:06:00Z",
            },
        ),
    ):
        post(client, f"jobs/D-7/{what}", {"place": code, **body})
    step = {"title": "Grind", "kind": "work", "work": "1 h"}
    post(client, "sequences", {"name": code, "steps": [step]})


def stock(client: FlaskClient, code: str) -> None:
    """A drum, one that is out of date and was drawn from all the same, and one that was counted."""
    for name, more in ((code, {"bay": code}), ("PEROX", {})):
        lot = post(client, "lots", makers.lot(name, "9 kg", code, **more))
        post(client, "movements", {"kind": "count", "lot": lot["id"], "quantity": "8 kg"})
    old = post(client, "lots", makers.lot(code, "1 kg", "old", expires_on="2026-01-31"))
    late = {"product": None, "lot": old["id"], "override": {"reason": "a mould plug"}}
    post(client, "movements", makers.draw(quantity="10 g", job=code, **late))


def work(client: FlaskClient, code: str) -> None:
    """Needs, a draw, a pot that waits, and a pot laid up, for a job of its own and for one that all
    share."""
    for job, resin, bay in (("D-7", "LAM", "SHED"), (code, code, code)):
        need = {"product": "MAT", "quantity": "2 m"}
        tells(client, "POST", f"/v1/jobs/{job}/needs", {"needs": [need]})
        tells(client, "POST", "/v1/movements", {**DRAW, "job": job, "product": resin})
        pots = [tells(client, "POST", "/v1/batches", {**POT, "job": job, "resin": resin})["id"]
                for _ in range(2)]  # fmt: skip
        post(client, "layups", makers.layup(pots[0], job=job, bay=bay))


def people(client: FlaskClient, code: str, number: int) -> None:
    """Tokens, feeds and phones, half of them revoked."""
    for noun, body in (("tokens", {"name": code, "role": "hand"}), ("feeds", {"job": code})):
        made = tells(client, "POST", f"/v1/{noun}", body)
        if number % 2:
            tells(client, "POST", f"/v1/{noun}/{made['id']}/revocation", {})
    phone, secret = phones.add_phone(name=code, role="hand", maker_id=1, now=MORNING, hand=KEEPER)
    if number % 2:
        assert phones.let_in(secret, "", MORNING)
    if number % 3:
        phones.remove_phone(phone.id, now=MORNING, hand=KEEPER)


def seen(number: int) -> None:
    """A photograph of a job, a layup and a lot that all share."""
    for of in (finding.job("D-7"), finding.layup(1), finding.lot(1)):
        photographed(of, number)


def photographed(of: photographs.Thing, number: int) -> None:
    """A photograph of something."""
    photographs.keep_photograph(
        of, jpeg=bytes([number]), width_px=1, height_px=1, shows="a taper", now=MORNING,
        hand=KEEPER,
    )  # fmt: skip


def years(client: FlaskClient) -> None:
    """More of all that is live, and jobs done and closed."""
    for number in range(FEW, MANY):
        a_round(client, number)
    for number in range(FEW):
        code = f"X-{number}"
        post(client, "jobs", makers.job(code))
        tells(client, "PATCH", f"/v1/jobs/{code}", {"state": "closed"})


def looks(client: FlaskClient) -> list[str]:
    """Every address that only looks: those of the description, and the pages."""
    told = client.get("/openapi.json").json["paths"]
    operations = {
        path: of["get"] for path, of in told.items() if "get" in of and "toys" not in path
    }
    rules = [
        re.sub(r"<(?:[^<>]*:)?(\w+)>", r"{\1}", rule.rule)
        for rule in client.application.url_map.iter_rules()
        if "GET" in (rule.methods or ()) and not rule.rule.startswith("/v1/toys")
    ]
    pages = sorted(set(rules) - set(operations) - NO_ROWS)
    secret = tells(client, "POST", "/v1/feeds", {})["address"].partition("localhost")[2]
    return [*(_asked(path, of) for path, of in operations.items()), *map(_asked, pages), secret]


def _asked(path: str, operation: dict[str, Any] | None = None) -> str:
    """An address of an operation or a page, asked for as much as it gives."""
    place = re.sub(
        r"\{(\w+)\}", lambda m: PLACES.get(path[: m.end()], PLACES.get(m[1], m[0])), path
    )
    assert "{" not in place, f"{path}: say in PLACES what stands in it"
    names = [each["name"] for each in (operation or {}).get("parameters", []) if "name" in each]
    query = "&".join(f"{name}={QUERIES[name]}" for name in names if name in QUERIES)
    query = query or PAGE_QUERIES.get(path, "")
    return f"{place}?{query}" if query else place


def statements(client: FlaskClient, asked: tuple[str, str, Any]) -> tuple[list[str], TestResponse]:
    """What a request asks of the database, and its answer."""
    method, path, body = asked
    told: list[str] = []
    db.connection().set_trace_callback(told.append)
    answer = client.open(path, method=method, json=body)
    _ = answer.data
    db.connection().set_trace_callback(None)
    assert answer.status_code < 300, f"{path}: {answer.status_code} {answer.text[:500]}"
    return told, answer


def measured(client: FlaskClient, asked: Sequence[tuple[str, str, Any]]) -> dict[str, list[str]]:
    """What each request asks of the database, by its address."""
    for each in asked:  # what is first in a process may ask more
        statements(client, each)
    return {each[1]: statements(client, each)[0] for each in asked}


def more(young: dict[str, list[str]], old: dict[str, list[str]]) -> str:
    """Which addresses ask a grown store more, and what they ask more often; empty for none."""
    return "\n\n".join(
        f"{path}: {len(young[path])} statements, then {len(told)}: {_oftener(young[path], told)}"
        for path, told in old.items()
        if len(told) != len(young[path])
    )


def _oftener(young: list[str], old: list[str]) -> str:
    """The statements that stand oftener in the second list, whatever they look for."""
    few, many = Counter(map(_without_values, young)), Counter(map(_without_values, old))
    return "".join(f"\n  {few[sql]} → {n}: {sql[:300]}" for sql, n in many.items() if n > few[sql])


def _without_values(sql: str) -> str:
    return re.sub(r"\[.*?\]|\((\d+, )*\d+\)|\d+|SELECT .*? FROM", "?", sql)


def rows_listed(client: FlaskClient, addresses: list[str]) -> dict[str, int]:
    """How many rows each list gives, of those that come in pages."""
    return {a: len(client.get(a).json["items"]) for a in addresses if "limit=" in a}


def test_as_few_queries_with_many_rows_as_with_few(busy: FlaskClient) -> None:
    """Every list, look, page and daily act asks as many questions of a store that has grown."""
    addresses = looks(busy)
    asked = [*(("GET", address, None) for address in addresses), *ACTS]
    assert len([address for address in addresses if "limit=" in address]) > 12
    few = rows_listed(busy, addresses)
    young = measured(busy, asked)
    years(busy)
    many = rows_listed(busy, addresses)
    assert {a: n for a, n in few.items() if n < FEW} == {}, "a list that `a_round` has no row for"
    assert {a: n for a, n in many.items() if n < MANY} == {}
    told = more(young, measured(busy, asked))
    assert not told, told


def test_as_few_queries_of_a_full_shelf(busy: FlaskClient) -> None:
    """Drums beside the one that it comes from are looked at together, not one by one."""
    asked = [*ACTS, ("GET", "/v1/now", None)]
    bare = measured(busy, asked)
    for product in ("LAM", "PEROX", "MICROS") * 4:
        yard.receive(product, "1 kg")
    told = more(bare, measured(busy, asked))
    assert not told, told


def test_no_query_reads_a_ledger_through(busy: FlaskClient) -> None:
    """A draw, a pot, a dose and 'now' find what they want by an index."""
    for asked in [*ACTS, ("GET", "/v1/now", None)]:
        for sql in statements(busy, asked)[0]:
            assert not plans.scans(db.execute_sql, sql), sql
