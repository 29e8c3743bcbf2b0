"""Who may do what: a table of every operation, and every cell of it asked.

OWASP API Security Top 10 (2023): API1 broken object level authorization (a thing is reached by
nobody who may not reach its kind), API5 broken function level authorization.
"""

from __future__ import annotations

import re
from typing import Any

from cureyard_service.acts.yard import recognising, tokens
from cureyard_service.store.yard.hands import ROLES, Role
from cureyard_service.web.context.people import COOKIE
from flask import Flask
from flask.testing import FlaskClient

from ... import makers
from ...putting import by_acts
from ..conftest import MORNING
from ..sent_forms import OWN
from ..tokened import KEEPER, Known, given, one_of_each

ANYBODY = """
GET /healthz
GET /readyz
"""

BY_ROLE: dict[Role, str] = {
    "viewer": """
        GET /v1/batches
        GET /v1/batches/{batch}
        GET /v1/batches/{batch}/label.png
        GET /v1/batches/{batch}/label.svg
        GET /v1/bays
        GET /v1/calendar.ics
        GET /v1/bays/{code}
        GET /v1/bays/{code}/readings
        GET /v1/entries/last
        GET /v1/exports/lots
        GET /v1/exports/movements
        GET /v1/exports/products
        GET /v1/exports/readings/{bay}
        GET /v1/jobs
        GET /v1/jobs/{number}
        GET /v1/jobs/{number}/film-tests
        GET /v1/jobs/{number}/findings
        GET /v1/jobs/{number}/gates
        GET /v1/jobs/{number}/leak-tests
        GET /v1/jobs/{number}/moisture-readings
        GET /v1/jobs/{number}/needs
        GET /v1/jobs/{number}/findings/{record}/photographs
        GET /v1/jobs/{number}/photographs
        GET /v1/jobs/{number}/plan
        GET /v1/jobs/{number}/signature
        GET /v1/jobs/{number}/surface-notes
        GET /v1/jobs/{number}/usage
        GET /v1/jobs/{number}/weighed-samples
        GET /v1/jobs/{number}/wetness
        GET /v1/layups
        GET /v1/layups/{layup}
        GET /v1/layups/{layup}/photographs
        GET /v1/lots
        GET /v1/lots/{lot}
        GET /v1/lots/{lot}/label.png
        GET /v1/lots/{lot}/label.svg
        GET /v1/lots/{lot}/photographs
        GET /v1/lots/{lot}/trace
        GET /v1/meters
        GET /v1/meters/{code}
        GET /v1/milestones
        GET /v1/movements
        GET /v1/movements/{movement}
        GET /v1/now
        GET /v1/photographs/{photograph}
        GET /v1/photographs/{photograph}/image
        GET /v1/products
        GET /v1/products/{code}
        GET /v1/products/{code}/cure-sheets
        GET /v1/products/{code}/score
        GET /v1/sequences
        GET /v1/sequences/{name}
        GET /v1/shopping
        GET /v1/yard
        POST /v1/doses
        POST /v1/estimates/bag
        POST /v1/estimates/basic-flotation
        POST /v1/estimates/bedding
        POST /v1/estimates/coating
        POST /v1/estimates/cored
        POST /v1/estimates/dew-point
        POST /v1/estimates/fairing
        POST /v1/estimates/flotation
        POST /v1/estimates/foam
        POST /v1/estimates/laminate
        POST /v1/estimates/moisture
        POST /v1/estimates/plies
        POST /v1/estimates/pots
        POST /v1/estimates/roll
        POST /v1/estimates/sheets
        POST /v1/estimates/tabbing
        POST /v1/estimates/taper
        POST /v1/plans
    """,
    "hand": """
        POST /v1/batches
        POST /v1/batches/{batch}/observations
        POST /v1/batches/{batch}/observations/{observation}/withdrawal
        POST /v1/bays/{code}/readings
        POST /v1/bays/{code}/readings/{reading}/withdrawal
        GET /v1/feeds
        POST /v1/feeds
        POST /v1/feeds/{feed}/revocation
        POST /v1/imports/lots
        POST /v1/imports/readings/{bay}
        POST /v1/jobs
        POST /v1/jobs/{number}/film-tests
        POST /v1/jobs/{number}/film-tests/{record}/withdrawal
        POST /v1/jobs/{number}/findings
        POST /v1/jobs/{number}/findings/{record}/withdrawal
        POST /v1/jobs/{number}/leak-tests
        POST /v1/jobs/{number}/leak-tests/{record}/withdrawal
        POST /v1/jobs/{number}/moisture-readings
        POST /v1/jobs/{number}/moisture-readings/{record}/withdrawal
        POST /v1/jobs/{number}/needs
        POST /v1/jobs/{number}/findings/{record}/photographs
        POST /v1/jobs/{number}/photographs
        PUT /v1/jobs/{number}/plan
        POST /v1/jobs/{number}/surface-notes
        POST /v1/jobs/{number}/surface-notes/{record}/withdrawal
        POST /v1/jobs/{number}/weighed-samples
        POST /v1/jobs/{number}/weighed-samples/{record}/withdrawal
        POST /v1/layups
        PATCH /v1/layups/{layup}
        POST /v1/layups/{layup}/observations
        POST /v1/layups/{layup}/observations/{observation}/withdrawal
        POST /v1/layups/{layup}/probes
        POST /v1/layups/{layup}/probes/{probe}/withdrawal
        POST /v1/layups/{layup}/photographs
        POST /v1/layups/{layup}/withdrawal
        POST /v1/lots
        PATCH /v1/lots/{lot}
        POST /v1/lots/{lot}/cup-tests
        POST /v1/lots/{lot}/photographs
        POST /v1/movements
        POST /v1/photographs/{photograph}/withdrawal
        POST /v1/sequences
    """,
    "lead": """
        POST /v1/bays
        PATCH /v1/bays/{code}
        POST /v1/imports/products
        PATCH /v1/jobs/{number}
        POST /v1/jobs/{number}/gates
        POST /v1/jobs/{number}/signature
        POST /v1/meters
        GET /v1/logbook
        POST /v1/lots/{lot}/extensions
        POST /v1/movements/{movement}/acceptance
        GET /v1/overrides
        POST /v1/products
        PATCH /v1/products/{code}
        POST /v1/products/{code}/cure-sheets
    """,
    "admin": """
        GET /v1/phones
        GET /v1/tokens
        PATCH /v1/yard
        POST /v1/phones
        POST /v1/phones/{phone}/revocation
        POST /v1/tokens
        POST /v1/tokens/{token}/revocation
    """,
}
"""The least role that may, of each operation. A new operation is given its place here."""

SENSORS = """
POST /v1/bays/{code}/readings
"""
"""What a sensor may: it has no role below which there is another."""


def lines(text: str) -> set[str]:
    """The operations of a text."""
    return {line.strip() for line in text.splitlines() if line.strip()}


BY_PASS: dict[Role, str] = {
    "hand": """
        POST /batches/{batch}
        POST /batches/{batch}/undo
        POST /bays/{code}
        POST /bays/{code}/undo
        POST /jobs/{number}/leak-test
        POST /jobs/{number}/leak-test/undo
        POST /jobs/{number}/findings/{record}/photographs
        POST /jobs/{number}/film
        POST /jobs/{number}/film/undo
        POST /jobs/{number}/moisture
        POST /jobs/{number}/moisture/undo
        POST /jobs/{number}/photographs
        POST /jobs/{number}/surface
        POST /jobs/{number}/surface/undo
        POST /layups/{layup}
        POST /layups/{layup}/hardness
        POST /layups/{layup}/photographs
        POST /layups/{layup}/undo
        POST /lots/{lot}/count
        POST /lots/{lot}/draw
        POST /lots/{lot}/hold
        POST /lots/{lot}/open
        POST /lots/{lot}/photographs
        POST /lots/{lot}/undo
        POST /mix/weigh
        POST /photographs/{photograph}/undo
    """,
    "lead": """
        POST /lots/{lot}/release
    """,
}
"""The least role that may send the form of each page, by a browser's pass alone."""
ENTRANCE = {"POST /enter", "POST /leave", "POST /pair/{code}"}

CELLS: list[tuple[str, Role | None]] = [(each, None) for each in sorted(lines(ANYBODY))]
CELLS += [(each, role) for role in ROLES for each in sorted(lines(BY_ROLE[role]))]


def test_every_operation_has_its_place(client: FlaskClient) -> None:
    """What the description has and the table has not would be asked by nobody."""
    paths: dict[str, Any] = client.get("/openapi.json").json["paths"]
    there = {
        f"{method.upper()} {path}"
        for path, methods in paths.items()
        for method in methods.keys() - {"parameters"}
        if not path.startswith("/v1/toys")
    }
    table = {operation for operation, _ in CELLS}
    assert (sorted(there - table), sorted(table - there)) == ([], [])


def test_every_cell(client: FlaskClient) -> None:
    """Each operation asked by nobody, by a revoked token, and by a token of each role."""
    people: dict[str | None, Known | None] = {None: None, "revoked": given("Gone", "admin")}
    people |= one_of_each()
    by_acts(MORNING, KEEPER, bays=[makers.bay("SHED")])
    people["sensor"] = given("Probe", "sensor", "SHED")
    tokens.revoke_token(1, now=MORNING, hand=KEEPER)
    wrong = []
    for number, (operation, least) in enumerate(CELLS):
        for who, known in people.items():
            told = asked(client, operation, known, number)
            meant = expected(operation, least, who)
            if told != meant:
                wrong.append(f"{operation} by {who}: {told}, and {meant} was meant")
    assert wrong == []


def asked(client: FlaskClient, operation: str, known: Known | None, number: int) -> str:
    """Whether who asks is unknown, not allowed, or let through to what is judged next.

    Of things that are not there, with an empty body, each from an address of its own: too many
    wrong tokens from one are slowed down.
    """
    method, path = operation.split()
    address = re.sub(r"{\w+}", "999", re.sub(r"{(?:code|number)}", "NONE", path))
    answer = client.open(
        address,
        method=method,
        json=None if method == "GET" else {},
        headers={"If-Match": "*", **(known.bearer if known else {})},
        environ_overrides={"REMOTE_ADDR": f"10.0.{number}.1"},
    )
    assert answer.status_code < 500, answer.text
    slug: str = (answer.json or {}).get("type", "").rpartition("/")[2]
    return slug if slug in ("not-authenticated", "not-allowed") else "let through"


def test_a_sensor_sees_no_page(client: FlaskClient) -> None:
    """Not by its token, not by the pass that a browser would make of it; and it gets none."""
    given("Ada", "admin")
    by_acts(MORNING, KEEPER, bays=[makers.bay("SHED")])
    probe = given("Probe", "sensor", "SHED")
    for page in ("/", "/lots", "/jobs", "/products"):
        assert client.get(page, headers=probe.bearer).status_code == 403
    refused = client.post("/enter", data={"token": probe.secret})
    assert (refused.status_code, refused.headers.get("Set-Cookie")) == (403, None)
    client.set_cookie(COOKIE, recognising.page_pass(probe.secret))
    assert client.get("/").status_code == 403


def test_a_sensor_may_be_none_of_another_bays(client: FlaskClient) -> None:
    """Its own bay's readings alone, by any of the bodies that may have them."""
    given("Ada", "admin")
    by_acts(MORNING, KEEPER, bays=[makers.bay("SHED"), makers.bay("TENT")])
    probe = given("Probe", "sensor", "SHED")
    bodies: list[dict[str, Any]] = [
        {"json": {"readings": [{"at": "2026-03-20T09:00:00Z", "temperature": "19 degC"}]}},
        {"data": "19 degC", "content_type": "text/plain"},
        {"data": {"temperature": "19 degC"}},
        {"data": "at,temperature (degC)\n2026-03-20 09:01,19\n", "content_type": "text/csv"},
    ]
    for body in bodies:
        for code, status in (("TENT", 403), ("NONE", 403), ("SHED", 201)):
            answer = client.post(f"/v1/bays/{code}/readings", headers=probe.bearer, **body)
            assert answer.status_code == status, answer.text


def expected(operation: str, least: Role | None, who: str | None) -> str:
    """What the table says."""
    if least is None:
        return "let through"
    if who == "sensor":
        return "let through" if operation in lines(SENSORS) else "not-allowed"
    if who not in ROLES:
        return "not-authenticated"
    return "let through" if ROLES.index(who) >= ROLES.index(least) else "not-allowed"


def test_every_form_has_its_place(app: Flask) -> None:
    """Each page that takes a form is in the table."""
    there = {
        "POST " + re.sub(r"<(?:[^:>]*:)?([^>]+)>", r"{\1}", rule.rule)
        for rule in app.url_map.iter_rules()
        if "POST" in (rule.methods or ())
        and not hasattr(app.view_functions[rule.endpoint], "view_class")
    }
    table = {each for text in BY_PASS.values() for each in lines(text)}
    assert (sorted(there - table - ENTRANCE), sorted(table - there)) == ([], [])


def test_every_form_of_every_role(app: Flask) -> None:
    """Each form sent by nobody, by a revoked pass, by a token in a header, by each role's pass."""
    people: dict[str, Known] = {"revoked": given("Gone", "admin")} | dict(one_of_each())
    browsers = {None: app.test_client()}
    for who, known in people.items():
        browsers[who] = app.test_client()
        browsers[who].post("/enter", data={"token": known.secret}, headers=OWN)
    by_acts(MORNING, KEEPER, bays=[makers.bay("SHED")])
    browsers["sensor"] = app.test_client()  # it gets no pass, so it makes its own
    secret = given("Probe", "sensor", "SHED").secret
    browsers["sensor"].set_cookie(COOKIE, recognising.page_pass(secret))
    tokens.revoke_token(1, now=MORNING, hand=KEEPER)
    wrong = []
    for least, text in BY_PASS.items():
        for operation in sorted(lines(text)):
            for who, browser in browsers.items():
                told, meant = sent(browser, operation), expected(operation, least, who)
                if told != meant:
                    wrong.append(f"{operation} by {who}: {told}, and {meant} was meant")
            told = sent(app.test_client(), operation, people["admin"].bearer)
            if told != "not-authenticated":
                wrong.append(f"{operation} by a token in a header: {told}")
    assert wrong == []


def sent(browser: FlaskClient, operation: str, headers: dict[str, str] | None = None) -> str:
    """As `asked`, for an empty form."""
    path = operation.split()[1].replace("{code}", "NONE")
    answer = browser.post(re.sub(r"{\w+}", "999", path), data={}, headers=OWN | (headers or {}))
    assert answer.status_code < 500, answer.text
    slug: str = (answer.get_json(silent=True) or {}).get("type", "").rpartition("/")[2]
    return slug if slug in ("not-authenticated", "not-allowed") else "let through"
