"""Forms on pages: who may send them, from where, how large, how often; and what a refusal keeps.

OWASP API Security Top 10 (2023): API2 broken authentication, API4 unrestricted resource
consumption, API5 broken function level authorization, API8 security misconfiguration; and the
OWASP cheat sheet on cross-site request forgery: a word bound to the session, the origin checked,
SameSite. (From memory.)
"""

from __future__ import annotations

import io
import re
from typing import Any

import pytest
from cureyard_service.acts.jobs import job
from cureyard_service.acts.yard import tokens
from cureyard_service.core.amounts.quantities import TEMPERATURE
from cureyard_service.core.errors import Busy, Invalid, Refusal, Unsure
from cureyard_service.store import tables
from cureyard_service.store.yard.hands import ROLES, Role
from cureyard_service.web import fields
from cureyard_service.web.context.request import hand, now
from cureyard_service.web.http import forms
from cureyard_service.web.http.bodies import FORM_LIMIT
from cureyard_service.web.pages import base
from flask import Flask, render_template_string
from flask.testing import FlaskClient

from ..conftest import MORNING
from ..sent_forms import OWN, fill, followed, hidden, opened, send
from ..tokened import KEEPER, Known, given, one_of_each

PAGE = """
{% import "by_thumb.html" as thumb with context %}
<form method="post">{{ thumb.hidden() }}{{ thumb.refused("number", "warmth", "count") }}
{{ thumb.field("number", "Number") }}{{ thumb.field("warmth", "Warm", unit="degC", needed=false) }}
{{ thumb.field("count", "Count", needed=false) }}</form>
"""
TYPED = {"number": "T-1"}


class ToyForm(forms.Form):
    """A toy, as a page asks for it."""

    number = fields.Code(required=True)
    warmth = fields.Quantity(TEMPERATURE)
    count = fields.Integer(least=1, most=9)


def show_toy(name: str) -> str:
    """A page with a form."""
    return render_template_string(PAGE, name=name)


@pytest.fixture
def refuse() -> list[Refusal]:
    """Refusals that the next acts raise after they changed the store."""
    return []


@pytest.fixture
def app(own_app: Flask, refuse: list[Refusal]) -> Flask:
    """A service with a page that has a form, and one that takes a large file from a lead."""

    def put_in(read: dict[str, Any], name: str) -> str:
        made = job.open_job(number=read["number"], title=name, craft="the toy",
                            now=now(), hand=hand())  # fmt: skip
        if refuse:
            raise refuse.pop()
        return f"/toys/{made.number}?warm={read.get('warmth')}&by={hand().name}"

    shown = base.looks(show_toy)
    forms.add_act(own_app, "/toys/<name>", "toy_page", shown, put_in, ToyForm)
    forms.add_act(own_app, "/big/<name>", "big_page", shown, put_in, ToyForm, role="lead",
                  most=4 * FORM_LIMIT)  # fmt: skip
    return own_app


def jobs() -> list[str]:
    """The numbers of the jobs on record."""
    return [row.number for row in tables.Job.select().order_by(tables.Job.id)]


def come_in(client: FlaskClient, known: Known) -> None:
    """A browser gets its pass."""
    assert client.post("/enter", data={"token": known.secret}, headers=OWN).status_code == 303


def test_a_form_is_done_and_leads_to_the_page_that_follows(client: FlaskClient) -> None:
    """Its numbers in the units that the page showed; who is at an open yard's machine acts."""
    answer = fill(client, "/toys/cart", number="T-1", warmth="19.5", count="")
    assert answer.status_code == 303
    assert answer.headers["Location"] == "/toys/T-1?warm=292.65&by=Ines"
    assert jobs() == ["T-1"]


@pytest.mark.parametrize(
    ("typed", "kelvin"),
    [
        ("19,5", "292.65"),
        ("0,125", "273.275"),
        ("68 degF", "293.15"),
        ("-3", "270.15"),
        (" 20 °C ", "293.15"),
    ],
)
def test_a_number_has_the_unit_beside_it_or_its_own(
    client: FlaskClient, typed: str, kelvin: str
) -> None:
    """0 °C is 273.15 K and 68 °F is 20 °C (SI brochure); a phone's pad may have a comma."""
    answer = fill(client, "/toys/cart", number="T-1", warmth=typed)
    assert f"warm={kelvin}" in answer.headers["Location"]


@pytest.mark.parametrize("typed", ["14,500", "1,100,5", "1,5,5", ","])
def test_a_comma_that_may_part_thousands_is_refused(client: FlaskClient, typed: str) -> None:
    """14,500 g is 14.5 kg in one language and 14.5 g in another."""
    assert fill(client, "/toys/cart", number="T-1", warmth=typed).status_code == 422
    assert jobs() == []


def test_the_same_form_again_is_done_once(client: FlaskClient) -> None:
    """A second tap, a browser that sends again, a page of the past: all come to the same page."""
    told = opened(client, "/toys/cart") | TYPED
    first = send(client, "/toys/cart", told)
    again = [send(client, "/toys/cart", told).headers["Location"] for _ in range(3)]
    assert again == [first.headers["Location"]] * 3
    assert jobs() == ["T-1"]


def test_another_form_with_a_used_key_is_not_done(client: FlaskClient) -> None:
    """It is shown again with what was typed, a key of its own, and what the first had."""
    told = opened(client, "/toys/cart") | TYPED
    kept = send(client, "/toys/cart", told).headers["Location"]
    other = send(client, "/toys/cart", told | {"number": "T-2"})
    assert other.status_code == 422
    assert 'value="T-2"' in other.text
    assert "This form was sent before, and that was kept." in other.text
    assert "Nothing more was noted. Press again to note this too." in other.text
    assert "The first had: T-1." in other.text
    assert f'href="{kept.replace("&", "&amp;")}"' in other.text
    assert "Nothing was changed" not in other.text
    assert "key" not in re.sub(r"<[^>]*>", "", other.text)
    assert jobs() == ["T-1"]
    fresh = hidden(other.text)
    assert fresh["key"] != told["key"]
    assert send(client, "/toys/cart", fresh | {"number": "T-2"}).status_code == 303
    assert jobs() == ["T-1", "T-2"]


def test_a_form_that_an_older_version_kept_says_less(client: FlaskClient) -> None:
    """It kept no answers, only where they led."""
    told = opened(client, "/toys/cart") | TYPED
    send(client, "/toys/cart", told)
    tables.Answer.update(body="<!doctype html>").execute()
    other = send(client, "/toys/cart", told | {"number": "T-2"})
    assert (other.status_code, "The first had" in other.text) == (422, False)
    assert "that was kept" in other.text


def test_a_refused_form_keeps_what_was_typed(client: FlaskClient) -> None:
    """Each refusal is beside its field, nothing was changed, and the key stays."""
    told = opened(client, "/toys/cart") | {"number": "no code!", "warmth": "hot", "count": "12"}
    answer = send(client, "/toys/cart", told)
    assert answer.status_code == 422
    for typed in ("no code!", "hot", "12"):
        assert f'value="{typed}"' in answer.text
    for name in ("number", "warmth", "count"):
        assert re.search(rf'aria-describedby="{name}-fault"', answer.text)
        assert re.search(rf'<p class="fault" id="{name}-fault">', answer.text)
    assert "Nothing was changed." in answer.text
    assert hidden(answer.text)["key"] == told["key"]
    assert jobs() == []


@pytest.mark.parametrize(
    ("refusal", "status", "words"),
    [
        (Invalid("The toy is broken."), 422, "Nothing was changed."),
        (Busy("Others were writing."), 503, "Nothing was changed."),
        (Unsure("It broke off."), 503, "It is not known whether that was kept"),
    ],
)
def test_what_an_act_refuses_is_undone(
    client: FlaskClient, refuse: list[Refusal], refusal: Refusal, status: int, words: str
) -> None:
    """The same form sent again is then done."""
    told = opened(client, "/toys/cart") | TYPED
    refuse += [refusal] * 20  # a store that broke off is asked again first
    answer = send(client, "/toys/cart", told)
    refuse.clear()
    assert (answer.status_code, words in answer.text, jobs()) == (status, True, [])
    assert send(client, "/toys/cart", hidden(answer.text) | TYPED).status_code == 303
    assert jobs() == ["T-1"]


ELSEWHERE: tuple[dict[str, str], ...] = (
    {},
    {"Sec-Fetch-Site": "none"},
    {"Sec-Fetch-Site": "cross-site"},
    {"Sec-Fetch-Site": "same-site"},
    {"Sec-Fetch-Site": "same-origin", "Origin": "http://localhost:9999"},
    {"Sec-Fetch-Site": "cross-site", "Origin": "http://localhost"},
    {"Origin": "null"},
    {"Origin": "http://yard.example"},
    {"Origin": "https://localhost"},
)


@pytest.mark.parametrize("headers", ELSEWHERE)
def test_a_page_elsewhere_changes_nothing(client: FlaskClient, headers: dict[str, str]) -> None:
    """Even with all that a form holds; a page on another port is elsewhere too."""
    told = opened(client, "/toys/cart") | TYPED
    assert client.post("/toys/cart", data=told, headers=headers).status_code == 403
    assert jobs() == []


@pytest.mark.parametrize("headers", [OWN, {"Origin": "http://localhost"},
                                     {"Sec-Fetch-Site": "same-origin"}])  # fmt: skip
def test_one_of_the_two_headers_is_enough(client: FlaskClient, headers: dict[str, str]) -> None:
    """Older browsers send Origin alone."""
    told = opened(client, "/toys/cart") | TYPED
    assert client.post("/toys/cart", data=told, headers=headers).status_code == 303


@pytest.mark.parametrize("word", [None, "", "x", "0" * 64, "é"])
def test_a_form_without_the_word_of_its_pass_is_shown_again(
    client: FlaskClient, word: str | None
) -> None:
    """Nothing is done, what was typed is kept, and the form that is shown can be sent."""
    told = opened(client, "/toys/cart") | TYPED
    told.pop("form")
    answer = send(client, "/toys/cart", told if word is None else told | {"form": word})
    assert (answer.status_code, jobs()) == (403, [])
    assert 'value="T-1"' in answer.text
    assert send(client, "/toys/cart", hidden(answer.text) | TYPED).status_code == 303


def test_the_word_of_one_pass_is_of_no_use_to_another(app: Flask, client: FlaskClient) -> None:
    """Each browser's forms are its own, in an open yard too."""
    other = app.test_client()
    opened(client, "/toys/cart")
    assert send(client, "/toys/cart", opened(other, "/toys/cart") | TYPED).status_code == 403
    assert jobs() == []


def test_an_open_yards_pass_opens_nothing(app: Flask, client: FlaskClient) -> None:
    """It only ties forms to a browser: once there are tokens, its owner is asked for one."""
    opened(client, "/toys/cart")
    given("Rui", "hand")
    assert client.get("/toys/cart").status_code == 303
    assert client.get("/v1/jobs").status_code == 401


@pytest.mark.parametrize("address", ["/toys/cart", "/big/cart"])
def test_who_may_send_a_form(app: Flask, address: str) -> None:
    """Nobody, a revoked pass, a token in a header, and a pass of each role: a table."""
    people: dict[str, Known | None] = {"nobody": None, "revoked": given("Gone", "admin")}
    people |= one_of_each()
    least: Role = "hand" if address == "/toys/cart" else "lead"
    for who, known in people.items():
        browser = app.test_client()
        if known is not None:
            come_in(browser, known)
        told = {"number": f"T-{who}", "form": "", "key": "k" * 22}
        if who in ROLES:
            told |= opened(browser, address)
        if who == "revoked":
            tokens.revoke_token(1, now=MORNING, hand=KEEPER)
        status = send(browser, address, told).status_code
        meant = 401 if who not in ROLES else 303
        if who in ROLES and ROLES.index(who) < ROLES.index(least):
            meant = 403
        assert (who, status) == (who, meant)
        if known is not None:
            by_header = app.test_client().post(address, data=told, headers=OWN | known.bearer)
            assert by_header.status_code == 401


def test_a_revoked_pass_is_told_so(client: FlaskClient) -> None:
    """The form that lay open is not done, and the page says what to do."""
    rui = given("Rui", "hand")
    come_in(client, rui)
    told = opened(client, "/toys/cart") | TYPED
    tokens.revoke_token(rui.id, now=MORNING, hand=KEEPER)
    answer = client.post("/toys/cart", data=told, headers=OWN | {"Accept": "text/html"})
    assert (answer.status_code, jobs()) == (401, [])
    assert "not let in, or no longer" in answer.text
    assert "cureyard phone add NAME" in answer.text
    assert "cureyard phone add NAME" in client.get("/enter").text
    assert "go back to the form" in answer.text


def test_what_a_pass_does_is_signed_by_its_name(client: FlaskClient) -> None:
    """And proven by its login."""
    come_in(client, given("Rui", "hand"))
    assert "by=Rui" in fill(client, "/toys/cart", number="T-1").headers["Location"]


class Watched(io.BytesIO):
    """A body that knows how much of it was read."""

    def __init__(self, size: int) -> None:
        super().__init__(b"number=" + b"x" * size)
        self.most = 0

    def read(self, *size: int | None) -> bytes:
        """Read on."""
        found = super().read(*size)
        self.most += len(found)
        return found


@pytest.mark.parametrize("kind", ["application/x-www-form-urlencoded",
                                  "multipart/form-data; boundary=b"])  # fmt: skip
def test_a_large_form_is_not_read(client: FlaskClient, kind: str) -> None:
    """Of somebody who may not send it nothing is read, and of others no more than its most."""
    rui, ada = given("Rui", "hand"), given("Ada", "lead")
    for known, address, status in ((None, "/big/cart", 401), (rui, "/big/cart", 403),
                                   (rui, "/toys/cart", 413), (ada, "/big/cart", 413)):  # fmt: skip
        browser = client.application.test_client()
        if known is not None:
            come_in(browser, known)
        body = Watched(8 * FORM_LIMIT)
        answer = browser.post(address, input_stream=body, content_length=8 * FORM_LIMIT,
                              content_type=kind, headers=OWN)  # fmt: skip
        assert (answer.status_code, body.most) == (status, 0)
    assert jobs() == []


def test_a_page_may_take_more(client: FlaskClient) -> None:
    """From somebody who may."""
    come_in(client, given("Ada", "lead"))
    told = opened(client, "/big/cart") | TYPED
    file = (io.BytesIO(b"x" * 2 * FORM_LIMIT), "x.bin")
    answer = client.post("/big/cart", data={**told, "file": file}, headers=OWN)
    assert answer.status_code == 303
    other = (io.BytesIO(b"y" * 2 * FORM_LIMIT), "x.bin")
    again = client.post("/big/cart", data={**told, "file": other}, headers=OWN)
    assert again.status_code == 422  # another file under a used key


@pytest.mark.parametrize(
    ("body", "kind", "status"),
    [
        ("number=T-1&number=T-2", "application/x-www-form-urlencoded", 400),
        ('{"number": "T-1"}', "application/json", 415),
        ("number=T-1", "text/plain", 415),
        ("&".join(f"n{n}=1" for n in range(999)), "application/x-www-form-urlencoded", 422),
        ("", "application/x-www-form-urlencoded", 403),
    ],
)
def test_what_is_no_form_is_refused(client: FlaskClient, body: str, kind: str, status: int) -> None:
    """As what it is, and nothing is guessed."""
    told = opened(client, "/toys/cart")
    if status == 422:
        body = f"form={told['form']}&key={told['key']}&{body}"
    answer = client.post("/toys/cart", data=body, content_type=kind, headers=OWN)
    assert (answer.status_code, jobs()) == (status, [])


@pytest.mark.parametrize("key", [None, "", "short", "x" * 65, "with space in the key!", "ü" * 20])
def test_a_form_needs_a_key(client: FlaskClient, key: str | None) -> None:
    """Without one a second tap would act twice; the page gives the form another."""
    told = opened(client, "/toys/cart") | TYPED
    told.pop("key")
    answer = send(client, "/toys/cart", told if key is None else told | {"key": key})
    assert (answer.status_code, jobs()) == (400, [])
    assert send(client, "/toys/cart", hidden(answer.text) | TYPED).status_code == 303


def test_a_page_with_a_form_is_kept_for_the_way_back(client: FlaskClient) -> None:
    """Private, and asked for anew by a link; the page that follows a form is no different."""
    assert client.get("/toys/cart").headers["Cache-Control"] == "private, no-cache"
    refused = send(client, "/toys/cart", opened(client, "/toys/cart"))
    assert refused.headers["Cache-Control"] == "private, no-cache"
    assert client.get("/problems/").headers["Cache-Control"] == "no-store"


def test_the_pass_of_an_open_yard_is_kept_well(client: FlaskClient) -> None:
    """HttpOnly, Strict, of no domain, and the same one as long as the browser has it."""
    first = client.get("/toys/cart").headers["Set-Cookie"]
    assert all(part in first for part in ("HttpOnly", "SameSite=Strict", "Path=/"))
    assert "Domain" not in first
    assert "Set-Cookie" not in client.get("/toys/cart").headers


def test_a_form_is_never_sent_to_a_page_without_one(client: FlaskClient) -> None:
    """Such a page takes no POST."""
    told = opened(client, "/toys/cart")
    assert send(client, "/lots", told).status_code == 405


def _streamed(client: FlaskClient, **headers: str) -> int:
    return client.get("/v1/milestones?seconds=0", headers=headers).status_code


def test_the_stream_of_milestones_takes_the_pass(app: Flask, client: FlaskClient) -> None:
    """A page can send no header with it; from another origin, and revoked, the pass is nothing."""
    rui = given("Rui", "viewer")
    come_in(client, rui)
    assert _streamed(client) == 200
    assert _streamed(client, **{"Sec-Fetch-Site": "same-origin"}) == 200
    assert _streamed(client, **{"Sec-Fetch-Site": "same-site"}) == 403
    assert _streamed(client, Origin="http://localhost:9999") == 403
    assert _streamed(client, Authorization="Bearer cureyard_x") == 401
    assert _streamed(app.test_client()) == 401
    tokens.revoke_token(rui.id, now=MORNING, hand=KEEPER)
    assert _streamed(client) == 401


def test_no_other_address_of_the_interface_takes_the_pass(app: Flask, client: FlaskClient) -> None:
    """Whatever a browser of an admin is led to ask for."""
    come_in(client, given("Ada", "admin"))
    wrong = []
    for rule in app.url_map.iter_rules():
        if not rule.rule.startswith("/v1/") or rule.rule == "/v1/milestones":
            continue
        for method in (rule.methods or set()) - {"HEAD", "OPTIONS"}:
            address = re.sub(r"<[^>]*>", "1", rule.rule)
            answer = client.open(address, method=method, headers=OWN)
            if answer.status_code != 401:
                wrong.append((method, address, answer.status_code))
    assert wrong == []


def test_the_page_that_follows_is_shown(client: FlaskClient) -> None:
    """As any page is."""
    assert "Number" in followed(client, fill(client, "/toys/cart", number="T-1"))
