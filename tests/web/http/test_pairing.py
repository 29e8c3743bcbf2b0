"""A phone's code: looked at by anybody, pressed once, and what the pass is good for.

OWASP API Security Top 10 (2023): API2 broken authentication. NIST SP 800-63B, 3.1.3.2 (a secret
that is used out of band: at least 20 bits, valid for at most 10 minutes, accepted once).
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from cureyard_service.acts.yard import phones, recognising, tokens
from cureyard_service.acts.yard.phones import CODE_S
from cureyard_service.acts.yard.recognising import NOTED_S, PHONE_KEPT_S
from cureyard_service.store import tables
from cureyard_service.web.context.request import hand
from cureyard_service.web.context.throttle import MOST_A_MINUTE
from cureyard_service.web.lan import place
from flask import Flask
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from ..conftest import MORNING, Clock
from ..tokened import KEEPER, Known, given

SAFE = {"Origin": "https://localhost", "Sec-Fetch-Site": "same-origin"}
TLS = "https://localhost"


@pytest.fixture
def app(own_app: Flask) -> Flask:
    """A service with a page of its own."""
    own_app.add_url_rule("/board", "board", lambda: f"for {hand().name}", methods=["GET", "POST"])
    return own_app


@pytest.fixture
def ada(client: FlaskClient) -> Known:
    """An admin."""
    return given("Ada", "admin")


def added(maker: Known | None, name: str = "Rui", now: int = MORNING) -> str:
    """The path of a new phone's page."""
    maker_id = None if maker is None else maker.id
    _, code = phones.add_phone(name=name, role="hand", maker_id=maker_id, now=now, hand=KEEPER)
    return f"/pair/{code}"


def page_of(client: FlaskClient, path: str) -> str:
    """The key of a page that is shown."""
    answer = client.get(path, base_url=TLS)
    assert answer.status_code == 200, answer.text
    found = re.search(r'name="key" value="([\w-]{22,})"', answer.text)
    assert found is not None
    return found[1]


def press(client: FlaskClient, path: str, key: str) -> TestResponse:
    """Press the button of a page."""
    return client.post(path, base_url=TLS, data={"key": key}, headers=SAFE)


def paired(client: FlaskClient, path: str) -> str:
    """Come in; what the browser was told to keep."""
    answer = press(client, path, page_of(client, path))
    assert (answer.status_code, answer.headers["Location"]) == (303, "/")
    return answer.headers["Set-Cookie"]


def test_a_phone_comes_in_by_one_press(client: FlaskClient, ada: Known) -> None:
    """The pass is a cookie that no script and no other site gets, for ninety days."""
    cookie = paired(client, added(ada))
    parts = {part.strip().partition("=")[0]: part for part in cookie.split(";")}
    assert {"HttpOnly", "Secure", "SameSite", "Path", "Max-Age"} <= set(parts)
    assert parts["SameSite"].endswith("Strict")
    assert parts["Max-Age"].endswith(f"={PHONE_KEPT_S}")
    assert client.get("/board", base_url=TLS).text == "for Rui"


def test_looking_does_not_use_the_code_up(client: FlaskClient, ada: Known) -> None:
    """A messenger previews the address: by GET and HEAD, several times."""
    path = added(ada)
    for method in ("GET", "HEAD", "GET"):
        assert client.open(path, method=method, base_url=TLS).status_code == 200
    paired(client, path)


def test_a_second_scan_is_refused(client: FlaskClient, ada: Known) -> None:
    """The code is worthless on another phone, also with a page that it opened before."""
    path = added(ada)
    other = client.application.test_client()
    key = page_of(other, path)
    paired(client, path)
    assert other.get(path, base_url=TLS).status_code == 404
    answer = press(other, path, key)
    assert answer.status_code == 404
    assert "Set-Cookie" not in answer.headers
    assert "was used" in answer.text


def test_a_button_that_is_pressed_twice_lets_the_same_phone_in(
    client: FlaskClient, ada: Known
) -> None:
    """A tap too many, or a browser that sends again: the same pass, and one phone."""
    path = added(ada)
    key = page_of(client, path)
    first, again = press(client, path, key), press(client, path, key)
    assert first.headers["Set-Cookie"] == again.headers["Set-Cookie"]
    assert tables.Token.select().where(tables.Token.kind == "phone").count() == 1


def test_a_code_is_good_for_ten_minutes(client: FlaskClient, ada: Known, clock: Clock) -> None:
    """To the second."""
    path = added(ada)
    key = page_of(client, path)
    clock.moment = MORNING + CODE_S + 1
    assert press(client, path, key).status_code == 404
    clock.moment = MORNING + CODE_S
    assert press(client, path, key).status_code == 303
    clock.moment = MORNING + CODE_S + 1
    assert press(client, path, key).status_code == 404  # also for the page that used it


def test_a_code_ends_with_its_makers_token(client: FlaskClient, ada: Known) -> None:
    """What an admin who is out has made lets nobody in."""
    path = added(ada)
    key = page_of(client, path)
    tokens.revoke_token(ada.id, now=MORNING, hand=KEEPER)
    assert press(client, path, key).status_code == 404
    (phone,) = phones.list_phones(None, None, 9, MORNING)
    assert phone.state == "missed"


def test_a_code_that_was_withdrawn(client: FlaskClient, ada: Known) -> None:
    """Before the phone came."""
    path = added(ada)
    key = page_of(client, path)
    assert phones.remove_phone(1, now=MORNING, hand=KEEPER).state == "out"
    assert press(client, path, key).status_code == 404


def test_the_store_has_neither_code_nor_pass(client: FlaskClient, ada: Known) -> None:
    """128 bits and more, kept as hashes; nothing that is kept opens anything."""
    path = added(ada)
    code = path.rpartition("/")[2]
    assert len(code.removeprefix(recognising.MARK)) >= 22  # 22 characters of 6 bits
    value = paired(client, path).partition("=")[2].partition(";")[0]
    kept = repr([list(model.select().tuples()) for model in tables.MODELS])
    assert code not in kept
    assert value not in kept
    thief = client.application.test_client()
    for row in tables.Token.select().tuples():
        for part in map(str, row):
            thief.set_cookie("cureyard", part)
            assert thief.get("/board").status_code == 303


def test_the_pass_is_no_token(client: FlaskClient, ada: Known) -> None:
    """It shows pages; the interface never takes it, neither as a cookie nor as a bearer."""
    value = paired(client, added(ada)).partition("=")[2].partition(";")[0]
    assert client.get("/v1/toys", base_url=TLS).status_code == 401
    stolen = {"Authorization": f"Bearer {value}"}
    assert client.get("/v1/toys", base_url=TLS, headers=stolen).status_code == 401


@pytest.mark.parametrize("how", ["phone", "token"])
def test_a_phone_that_was_removed_is_out(client: FlaskClient, ada: Known, how: str) -> None:
    """At once, by either list."""
    paired(client, added(ada))
    if how == "phone":
        phones.remove_phone(1, now=MORNING, hand=KEEPER, reason="lost")
    else:
        tokens.revoke_token(2, now=MORNING, hand=KEEPER, reason="lost")
    assert client.get("/board", base_url=TLS).status_code == 303
    (phone,) = phones.list_phones(None, None, 9, MORNING)
    assert (phone.state, phone.reason, phone.ended_by) == ("out", "lost", "Keeper")


def test_leaving_ends_the_pass_in_the_store(client: FlaskClient, ada: Known) -> None:
    """A copy of the cookie is worthless after it; leaving twice is no fault."""
    value = paired(client, added(ada)).partition("=")[2].partition(";")[0]
    copy = client.application.test_client()
    copy.set_cookie("cureyard", value)
    assert copy.get("/board", base_url=TLS).status_code == 200
    assert "Rui" in client.get("/enter", base_url=TLS).text
    for _ in range(2):
        left = client.post("/leave", base_url=TLS, headers=SAFE)
        assert left.headers["Location"] == "/enter"
    assert copy.get("/board", base_url=TLS).status_code == 303
    (phone,) = phones.list_phones(None, None, 9, MORNING)
    assert (phone.state, phone.ended_by, phone.reason) == ("out", "Rui", "the phone left")


def test_a_phone_in_use_stays_in(client: FlaskClient, ada: Known, clock: Clock) -> None:
    """Its last use is noted now and then, and its cookie begins anew; one in a drawer is out."""
    paired(client, added(ada))
    assert "Set-Cookie" not in client.get("/board", base_url=TLS).headers
    at = MORNING
    for _ in range(3):
        at += PHONE_KEPT_S - 1
        clock.moment = at
        answer = client.get("/board", base_url=TLS)
        assert f"Max-Age={PHONE_KEPT_S}" in answer.headers["Set-Cookie"]
        assert "Secure" in answer.headers["Set-Cookie"]
        (phone,) = phones.list_phones(None, None, 9, at)
        assert (phone.state, phone.used_at) == ("in", at)
    clock.moment = at + NOTED_S - 1
    assert "Set-Cookie" not in client.get("/board", base_url=TLS).headers
    clock.moment = at + PHONE_KEPT_S + 1
    assert client.get("/board", base_url=TLS).status_code == 303
    (phone,) = phones.list_phones(None, None, 9, clock.moment)
    assert (phone.state, phone.ended_at) == ("out", None)


@pytest.mark.parametrize(
    "headers",
    [
        {"Sec-Fetch-Site": "cross-site"},
        {"Sec-Fetch-Site": "same-site"},
        {"Origin": "https://evil.example"},
        {"Origin": "https://localhost:8443"},
        {"Origin": "http://localhost"},
        {"Origin": "null"},
    ],
)
def test_another_site_presses_nothing(
    client: FlaskClient, ada: Known, headers: dict[str, str]
) -> None:
    """Nor a page at another port of this host, which a browser calls the same site."""
    path = added(ada)
    key = page_of(client, path)
    answer = client.post(path, base_url=TLS, data={"key": key}, headers=headers)
    assert answer.status_code == 403
    assert "Set-Cookie" not in answer.headers
    assert press(client, path, key).status_code == 303


def test_wrong_codes_are_slowed_down(client: FlaskClient, ada: Known) -> None:
    """Counted as wrong tokens are, with the page and with the press; a right one is let in."""
    path = added(ada)
    for number in range(MOST_A_MINUTE):
        ask = client.get if number % 2 else client.post
        assert ask(f"/pair/cureyard_{number}", base_url=TLS).status_code == 404
    slowed = client.get("/pair/cureyard_x", base_url=TLS)
    assert slowed.status_code == 429
    assert 1 <= int(slowed.headers["Retry-After"]) <= 60
    paired(client, path)


@pytest.mark.parametrize("data", [{}, {"key": ""}, {"key": "x" * 9000}, {"other": "x"}])
def test_a_press_without_the_pages_key(
    client: FlaskClient, ada: Known, data: dict[str, str]
) -> None:
    """What a program posts with the code lets that program in: the code is the secret."""
    answer = client.post(added(ada), base_url=TLS, data=data)
    assert answer.status_code == 303


def test_what_a_phone_does_has_its_name(client: FlaskClient, ada: Known) -> None:
    """Coming in is in the logbook, signed by the phone; so is who added it."""
    paired(client, added(ada))
    book = client.get("/v1/logbook", headers=ada.bearer).json["items"]
    assert [(e["kind"], e["about"], e["who"], e["verified"]) for e in book[:2]] == [
        ("phone came in", "phone 1 of Rui (hand)", "Rui", True),
        ("phone added", "phone 1 of Rui (hand)", "Keeper", False),
    ]


def test_the_interface_adds_lists_and_removes(
    client: FlaskClient, ada: Known, app: Flask, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The address is in the first answer alone; while nothing serves the network there is none."""
    body = {"name": " Rui ", "role": "hand"}
    refused = client.post("/v1/phones", json=body, headers=ada.bearer)
    assert (refused.status_code, refused.json["slug"]) == (409, "not-served")
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))  # a store on PostgreSQL has its place there
    folder = place.folder(app.extensions["cureyard"].settings.database)
    folder.mkdir(parents=True)
    with place.told(folder, place.Served("https://192.0.2.20:8765", "AA:BB")):
        made = client.post("/v1/phones", json=body, headers=ada.bearer)
    assert made.status_code == 201
    assert made.json["address"].startswith("https://192.0.2.20:8765/pair/cureyard_")
    assert (made.json["fingerprint"], made.json["state"]) == ("AA:BB", "waiting")
    listed = client.get("/v1/phones?name=Rui", headers=ada.bearer).json["items"]
    assert [(each["name"], each["made_by"]) for each in listed] == [("Rui", "Ada")]
    assert "address" not in listed[0]
    assert client.get("/v1/phones?name=Eva", headers=ada.bearer).json["items"] == []
    gone = client.post("/v1/phones/1/revocation", json={"reason": "a slip"}, headers=ada.bearer)
    assert (gone.status_code, gone.json["state"]) == (201, "out")
    again = client.post("/v1/phones/1/revocation", json={}, headers=ada.bearer)
    assert again.status_code == 409
    assert client.post("/v1/phones/9/revocation", json={}, headers=ada.bearer).status_code == 404


@pytest.mark.parametrize("role", ["admin", "owner", "", None])
def test_no_phone_is_an_admin(client: FlaskClient, ada: Known, role: str | None) -> None:
    """It is lost too easily."""
    answer = client.post("/v1/phones", json={"name": "Rui", "role": role}, headers=ada.bearer)
    assert answer.status_code == 422
    assert tables.Phone.select().count() == 0


def test_two_phones_of_one_name(client: FlaskClient, ada: Known) -> None:
    """While one waits or is in, its name is taken; afterwards it is free."""
    added(ada)
    with pytest.raises(Exception, match="is in, or waits"):
        added(ada)
    phones.remove_phone(1, now=MORNING, hand=KEEPER)
    added(ada)
    added(ada, now=MORNING + CODE_S + 1)


def test_without_any_token_no_phone_is_added(client: FlaskClient) -> None:
    """A phone would be the first to log in, and nobody could let another in."""
    with pytest.raises(Exception, match="Nobody has a token"):
        added(None)
    answer = client.post("/v1/phones", json={"name": "Rui", "role": "hand"})
    assert answer.status_code == 403
