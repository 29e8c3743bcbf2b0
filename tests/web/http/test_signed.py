"""Nothing is written to a signed job: every operation that writes to one is tried."""

from __future__ import annotations

import re
from typing import Any

import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from ... import makers
from ...pictures import jpeg
from ...putting import by_client, post
from ..conftest import Clock
from ..sent_forms import opened, send
from ..small_yard import digest
from .test_roles import BY_ROLE, lines

JOB = "D-7"
PLAN = {
    "bay": "SHED",
    "hours": {"days": ["mon", "tue", "wed", "thu", "fri"], "from": "07:00", "until": "17:00"},
    "steps": [{"title": "Ply", "product": "LAM", "catalyst_percent": 2, "work": "60 min"}],
}
NEED = {"needs": [{"product": "LAM", "quantity": "1 kg"}]}
REASON = {"reason": "a slip"}
PICTURE: dict[str, Any] = {}
"""Stands for the bytes of a photograph."""
METER = {
    "code": "CAP-1", "title": "Capacitance", "kind": "capacitance", "scale_from": 0,
    "scale_to": 100, "modes": [{"name": "deep"}],
}  # fmt: skip
TAPED = {"taped_at": "2026-03-19T08:00:00Z", "looked_at": "2026-03-20T09:00:00Z"}
WETNESS: dict[str, dict[str, Any]] = {
    "findings": {
        "place": "keel", "side": "port", "kind": "blister", "length": "12 mm", "width": "8 mm",
        "found_by": "by eye",
    },
    "surface-notes": {"kind": "rain"},
    "moisture-readings": {
        "place": "keel", "meter": "CAP-1", "mode": "deep", "placements": [22, 21, 23],
        "surface_temperature": "14 degC",
    },
    "film-tests": {"place": "keel", "drops": False, **TAPED},
    "weighed-samples": {"place": "keel", "wet": "18.42 g", "dried": "15.90 g"},
}  # fmt: skip
"""A record of wetness of each kind."""
LEAK = {
    "place": "hull", "first": "880 hPa", "first_at": "2026-03-20T08:40:00Z", "second": "850 hPa",
    "second_at": "2026-03-20T08:50:00Z",
}  # fmt: skip
NOTED = WETNESS | {"leak-tests": LEAK}
"""What is noted of a job beside pots and layups."""
HEAT = {"from": "55 degC", "to": "65 degC", "time": "15 h"}

TRIED: dict[str, list[tuple[str, dict[str, Any]]]] = {
    "POST /v1/batches": [("batches", makers.pot())],
    "POST /v1/batches/{batch}/observations": [("batches/1/observations", {"kind": "gelled"})],
    "POST /v1/batches/{batch}/observations/{observation}/withdrawal": [
        ("batches/1/observations/1/withdrawal", REASON)
    ],
    "POST /v1/jobs/{number}/gates": [
        (f"jobs/{JOB}/gates", {"gate": "humidity", "reason": "the surveyor agreed"})
    ],
    "POST /v1/jobs/{number}/needs": [(f"jobs/{JOB}/needs", NEED)],
    "PUT /v1/jobs/{number}/plan": [(f"jobs/{JOB}/plan", PLAN)],
    "POST /v1/jobs/{number}/signature": [(f"jobs/{JOB}/signature", {})],
    "PATCH /v1/jobs/{number}": [
        (f"jobs/{JOB}", {"title": "Another"}),
        (f"jobs/{JOB}", {"state": "closed", "reason": "again"}),
        (f"jobs/{JOB}", {"authority": "the owner", "state": "open", "reason": "x"}),
    ],
    "POST /v1/layups": [("layups", makers.layup())],
    "PATCH /v1/layups/{layup}": [
        ("layups/1", {"title": "Another"}),
        ("layups/1", {"bay": "TENT"}),
        ("layups/1", {"cover": "film"}),
    ],
    "POST /v1/layups/{layup}/observations": [
        ("layups/1/observations", {"kind": kind})
        for kind in ("gelled", "not_gelled", "sanded", "covered", "handed_over", "scraped_off")
    ]
    + [("layups/1/observations", {"kind": "hardness", "value": 41})],
    "POST /v1/layups/{layup}/observations/{observation}/withdrawal": [
        ("layups/1/observations/1/withdrawal", REASON)
    ],
    "POST /v1/layups/{layup}/probes": [("layups/1/probes", {"bays": ["SHED"]})],
    "POST /v1/layups/{layup}/probes/{probe}/withdrawal": [("layups/1/probes/1/withdrawal", REASON)],
    "POST /v1/layups/{layup}/withdrawal": [("layups/2/withdrawal", REASON)],
    "POST /v1/jobs/{number}/photographs": [(f"jobs/{JOB}/photographs?shows=stem", PICTURE)],
    "POST /v1/jobs/{number}/findings/{record}/photographs": [
        (f"jobs/{JOB}/findings/1/photographs?shows=blister", PICTURE)
    ],
    "POST /v1/layups/{layup}/photographs": [("layups/1/photographs?shows=ply", PICTURE)],
    "POST /v1/photographs/{photograph}/withdrawal": [
        ("photographs/1/withdrawal", REASON),
        ("photographs/2/withdrawal", REASON),
    ],
    "POST /v1/movements": [
        ("movements", makers.draw()),
        ("movements", {"kind": "return", "lot": 2, "quantity": "0.5 kg", "job": JOB}),
        ("movements", {"kind": "scrap", "lot": 2, "quantity": "1 kg", "job": JOB} | REASON),
        ("movements", {"kind": "reversal", "reverses": 3} | REASON),
    ],
}
for _kind, _body in NOTED.items():
    _where = f"POST /v1/jobs/{{number}}/{_kind}"
    TRIED[_where] = [(f"jobs/{JOB}/{_kind}", _body)]
    TRIED[f"{_where}/{{record}}/withdrawal"] = [(f"jobs/{JOB}/{_kind}/1/withdrawal", REASON)]
"""Requests that write to the job, by their operation; each is right but for the signature."""

NOT_OF_A_JOB = """
POST /v1/bays
PATCH /v1/bays/{code}
POST /v1/bays/{code}/readings
POST /v1/bays/{code}/readings/{reading}/withdrawal
POST /v1/feeds
POST /v1/feeds/{feed}/revocation
POST /v1/imports/lots
POST /v1/imports/products
POST /v1/imports/readings/{bay}
POST /v1/jobs
POST /v1/lots
PATCH /v1/lots/{lot}
POST /v1/lots/{lot}/cup-tests
POST /v1/lots/{lot}/extensions
POST /v1/lots/{lot}/photographs
POST /v1/meters
POST /v1/movements/{movement}/acceptance
POST /v1/phones
POST /v1/phones/{phone}/revocation
POST /v1/products
PATCH /v1/products/{code}
POST /v1/products/{code}/cure-sheets
POST /v1/sequences
POST /v1/tokens
POST /v1/tokens/{token}/revocation
PATCH /v1/yard
"""
"""What is the yard's, or no row of a job that there is: it goes on."""

NOTHING = re.compile(r"POST /v1/(doses|estimates/|plans$)")
"""Sums: they keep nothing."""


@pytest.fixture
def signed(client: FlaskClient, clock: Clock) -> FlaskClient:
    """A job with a row of every kind, signed; its layups are a week old and hard."""
    sheet = makers.sheet(post_cure=HEAT)
    by_client(
        client,
        products=[makers.catalyst(), makers.resin(cure=sheet)],
        bays=[makers.bay(), makers.bay("TENT")],
        jobs=[makers.job(JOB)],
        **makers.shelf(),
    )
    post(client, "movements", makers.draw())
    by_client(client, batches=[makers.pot()], layups=[makers.layup(1), makers.layup()])
    post(client, "batches/1/observations", {"kind": "gelled"})
    post(client, "layups/1/probes", {"bays": ["TENT"]})
    for path in (f"jobs/{JOB}/photographs?shows=a", "layups/1/photographs?shows=b"):
        assert ask(client, "POST", path, PICTURE).status_code == 201
    post(client, "meters", METER)
    for kind, body in NOTED.items():
        post(client, f"jobs/{JOB}/{kind}", body)
    clock.moment += 7 * 86_400
    post(client, "layups/1/observations", {"kind": "thumbnail"})
    answer = client.get(f"/v1/jobs/{JOB}/signature").json
    assert answer is not None
    left = [{"item": each["item"], "reason": "seen to"} for each in answer["open"]]
    assert "gate:dry" in {each["item"] for each in left}
    told = post(client, f"jobs/{JOB}/signature", {"left": left})
    assert told["signature"]["left_open"]
    assert len(told["signature"]["head"]) == 64
    return client


def ask(client: FlaskClient, method: str, path: str, body: dict[str, Any]) -> TestResponse:
    """One request, its body as JSON or a photograph."""
    if body is PICTURE:
        raw = jpeg((len(path), 90, 90))
        return client.post(f"/v1/{path}", data=raw, content_type="image/jpeg")
    return client.open(f"/v1/{path}", method=method, json=body, headers={"If-Match": "*"})


def test_every_operation_that_writes_is_tried_or_is_the_yards() -> None:
    """A new operation is given its place here, or this fails."""
    writing = {
        each
        for role in BY_ROLE.values()
        for each in lines(role)
        if not each.startswith("GET") and not NOTHING.match(each)
    }
    assert writing == set(TRIED) | lines(NOT_OF_A_JOB)


def test_each_is_refused_and_nothing_changes(signed: FlaskClient) -> None:
    """409 `signed`, whichever act it is, and which job; the store is as it was."""
    before = digest()
    wrong = []
    for operation, requests in TRIED.items():
        method = operation.partition(" ")[0]
        for path, body in requests:
            answer = ask(signed, method, path, body)
            told = answer.json or {}
            slug = told.get("slug")
            if (answer.status_code, slug) != (409, "signed") or told.get("job") != JOB:
                wrong.append(f"{operation} {body}: {answer.status_code} {slug} {answer.json}")
    assert not wrong, "\n".join(wrong)
    assert digest() == before


def test_opened_again_each_of_them_is_taken(signed: FlaskClient, clock: Clock) -> None:
    """So it was the signature alone that refused them."""
    back = {"state": "open", "reason": "a blister"}
    told = signed.patch(f"/v1/jobs/{JOB}", json=back, headers={"If-Match": "*"})
    assert told.status_code == 200
    first = ("layups/1/probes/1/withdrawal", "layups/2/withdrawal", "movements")
    tried = [
        (operation.partition(" ")[0], path, body)
        for operation, requests in TRIED.items()
        for path, body in requests[:1]
        if operation not in ("PATCH /v1/jobs/{number}", "POST /v1/jobs/{number}/signature")
    ]
    for method, path, body in sorted(tried, key=lambda each: each[1] not in first):
        clock.moment += 60
        answer = ask(signed, method, path, body)
        assert answer.status_code < 300, (path, answer.json)


def test_the_yard_goes_on(signed: FlaskClient) -> None:
    """Bays are read, lots come and are counted, another job is worked on, the page is read."""
    reading = {"at": "2026-03-27T09:00:00Z", "temperature": "18 degC"}
    post(signed, "bays/SHED/readings", {"readings": [reading]})
    post(signed, "lots", makers.lot("LAM", "5 kg", "B-2"))
    post(signed, "movements", {"kind": "count", "lot": 2, "quantity": "15 kg"})
    by_client(signed, jobs=[makers.job("D-8")])
    post(signed, "batches", makers.pot(job="D-8"))
    below = post(signed, "layups", makers.layup(2, job="D-8", over=1), 409)
    assert below["slug"] == "signed"  # that would end the watch on a layer of the signed job
    post(signed, "layups", makers.layup(2, job="D-8"))
    assert signed.get("/v1/now").status_code == 200
    assert signed.get(f"/jobs/{JOB}").status_code == 200


def test_what_is_open_is_told_with_its_place(client: FlaskClient) -> None:
    """409 with the list, for a program and for a person."""
    by_client(client, **makers.yard())
    post(client, f"jobs/{JOB}/needs", NEED)
    told = post(client, f"jobs/{JOB}/signature", {}, 409)
    assert told["slug"] == "still-open"
    assert told["open"] == client.get(f"/v1/jobs/{JOB}/signature").json["open"]
    assert told["open"][0]["item"] == "need:1"
    assert "1 kg of LAM" in told["open"][0]["found"]
    assert told["detail"].startswith(f"Job {JOB} is not signed")


def test_a_form_of_a_page_is_refused_too(signed: FlaskClient) -> None:
    """By thumb as by any program: the page says so, and the store is as it was."""
    told = opened(signed, "/layups/1")
    told.pop("observation", None)  # of the form that takes the last word back
    before = digest()
    answer = send(signed, "/layups/1", told | {"answer": "gelled"})
    assert answer.status_code == 409, answer.text
    assert "signed" in answer.text
    assert digest() == before


LEFT_OPEN: dict[str, dict[str, str]] = {
    "moisture": {
        "place": "keel", "meter": "CAP-1 / deep", "first": "22", "second": "21", "third": "23",
        "surface_temperature": "14 degC", "for_what": "reading",
    },
    "film": {"place": "keel", "taped_day": "2026-03-26", "taped_at": "07:30", "drops": "no"},
    "surface": {"place": "keel", "what": "rain"},
    "leak-test": {
        "place": "keel", "first": "880 hPa", "second": "850 hPa", "waited": "10 min",
        "shows": "below",
    },
}  # fmt: skip


@pytest.mark.parametrize("page", LEFT_OPEN)
def test_a_form_that_was_open_before_keeps_what_was_typed(signed: FlaskClient, page: str) -> None:
    """It is refused as signed, in red, with a way back; the page itself offers it no more."""
    here = f"/jobs/{JOB}/{page}"
    shut = signed.get(here).text
    assert "The job is signed: nothing more is written to it." in shut
    assert 'method="post"' not in shut
    told = {name: opened(signed, "/bays/SHED")[name] for name in ("form", "key")}
    before = digest()
    answer = send(signed, here, told | LEFT_OPEN[page])
    assert answer.status_code == 409
    alert = answer.text.partition('role="alert"')[2].partition("</div>")[0]
    assert "is signed, by Ines" in alert
    assert "Nothing was changed." in alert
    assert 'value="keel"' in answer.text
    assert f'href="/jobs/{JOB}">Back to the job' in answer.text
    assert digest() == before


def test_a_closed_job_is_not_called_signed(signed: FlaskClient) -> None:
    """Opened again, which voids the signature, and closed."""
    for state in ("open", "closed"):
        change = {"state": state, "reason": "a last touch"}
        assert ask(signed, "PATCH", f"jobs/{JOB}", change).status_code == 200
    page = signed.get(f"/jobs/{JOB}/surface").text
    assert "The job is closed: nothing more is noted." in page
    assert f'href="/jobs/{JOB}">Back to the job' in page


@pytest.mark.parametrize(
    "of", [f"/jobs/{JOB}", f"/jobs/{JOB}/findings/1", "/layups/1", "/lots/1"]
)  # fmt: skip
def test_no_photograph_of_a_signed_job_is_offered(signed: FlaskClient, of: str) -> None:
    """Of the job, its findings and its layups; a lot is the yard's."""
    mine = of != "/lots/1"
    page = signed.get(f"{of}/photographs").text
    assert ('type="file"' in page) != mine
    assert ("The job is signed" in page) == mine
    if "findings" not in of:
        assert (">Photograph<" in signed.get(of).text) != mine
