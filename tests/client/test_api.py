"""The session against a real server: what goes over the wire, and what patience there is.

OWASP API Security Top 10 (2023): API10 unsafe consumption of APIs (what answers may be another
server, or one that means harm: it is not followed, not obeyed, not waited for without end).
"""

from __future__ import annotations

import json
import time
from typing import Any

import pytest
from cureyard_client.api import Api, at
from cureyard_client.exits import Refused, Stopped
from cureyard_client.network import Network

from .at_server import typed


def test_a_request_says_who_asks_and_what_it_takes(server: Any) -> None:
    """Accept, agent, bearer token, the hand's name in ASCII, and the units asked for."""
    api = Api(server.url, token="t0k", hand="Zoë 100%", units="us")
    api.get("/v1/lots", product="LAM-PE", state=None)
    (asked,) = server.requests
    assert asked.path == "/v1/lots?units=us&product=LAM-PE"
    assert asked.headers["Authorization"] == "Bearer t0k"
    assert asked.headers["Cureyard-Hand"] == "Zo%C3%AB 100%25"
    assert asked.headers["Accept"] == "application/json, application/problem+json"
    assert asked.headers["User-Agent"].startswith("cureyard/")


def test_without_a_token_nothing_else_signs(
    server: Any, tmp_path: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A .netrc that knows the host does not sign in the token's place."""
    netrc = tmp_path / "netrc"
    netrc.write_text("machine 127.0.0.1 login someone password secret\n")
    netrc.chmod(0o600)
    monkeypatch.setenv("NETRC", str(netrc))
    Api(server.url).get("/v1/now")
    assert "Authorization" not in server.requests[0].headers


def test_the_answer_is_kept_as_it_came(server: Any) -> None:
    """The text is the server's own, to the byte; the body is what it says."""
    server.answer(server.reply('{"b": 1.50,\n "a": "é"}', headers={"ETag": '"3"'}))
    answer = Api(server.url).get("/v1/now")
    assert answer.text == '{"b": 1.50,\n "a": "é"}'
    assert answer.body == {"a": "é", "b": 1.5}
    assert answer.etag == '"3"'


@pytest.mark.parametrize("fault", [{"status": 503}, {"status": 502}, {"drop": True}])
def test_a_retry_keeps_its_key_and_body(server: Any, fault: dict[str, Any]) -> None:
    """A POST that met a fault is sent again with the same key and the same body."""
    server.answer(server.reply(**fault), server.reply({"id": 1}, 201))
    assert Api(server.url).post("/v1/movements", {"kind": "draw"}).body == {"id": 1}
    first, second = server.requests
    assert first.headers["Idempotency-Key"] == second.headers["Idempotency-Key"]
    assert first.body == second.body == b'{"kind": "draw"}'


def test_two_acts_have_two_keys(server: Any) -> None:
    """The key belongs to one call: the same body asked twice is two acts."""
    api = Api(server.url)
    api.post("/v1/movements", {})
    api.post("/v1/movements", {})
    first, second = (r.headers["Idempotency-Key"] for r in server.requests)
    assert first != second
    assert first.isascii()
    assert 16 <= len(first) <= 200


def test_the_tries_end(server: Any) -> None:
    """A server that stays busy is asked four times, then the refusal is told."""
    server.answer(server.refusal(503, "busy"))
    with pytest.raises(Refused) as caught:
        Api(server.url).post("/v1/movements", {})
    assert caught.value.exit_code == 3
    assert caught.value.slug == "busy"
    assert len(server.requests) == 4


def test_retry_after_is_waited_for(server: Any) -> None:
    """The pause is the one that the server asks for."""
    server.answer(server.reply(status=503, headers={"Retry-After": "1"}), server.reply())
    begun = time.monotonic()
    Api(server.url).get("/v1/now")
    assert time.monotonic() - begun >= 1.0


def test_a_long_retry_after_ends_it_at_once(server: Any) -> None:
    """Nobody stands there for an hour: the refusal is told without a second try."""
    server.answer(server.refusal(503, "busy", **{"Retry-After": "3600"}))
    with pytest.raises(Refused, match="busy!"):
        Api(server.url).get("/v1/now")
    assert len(server.requests) == 1


@pytest.mark.parametrize("status", [400, 404, 409, 422, 500])
def test_what_a_retry_can_not_mend_is_asked_once(server: Any, status: int) -> None:
    """A refusal stays one."""
    server.answer(server.refusal(status, "validation"))
    with pytest.raises(Refused):
        Api(server.url).post("/v1/lots", {})
    assert len(server.requests) == 1


def test_a_change_is_sent_once(server: Any) -> None:
    """A PATCH is not sent again: after the first its If-Match would no longer hold."""
    server.answer(server.reply(headers={"ETag": '"7"'}), server.refusal(503, "busy"))
    with pytest.raises(Refused):
        Api(server.url).patch("/v1/jobs/D-7", {"title": "Stem"})
    looked, changed = server.requests
    assert (looked.method, changed.method) == ("GET", "PATCH")
    assert changed.headers["If-Match"] == '"7"'


def test_an_answer_that_never_comes_is_not_waited_for(server: Any) -> None:
    """After the second try the person is told that it may have been done."""
    server.answer(server.reply(hangs=True))
    with pytest.raises(Stopped, match="broke off") as caught:
        Api(server.url, transport=Network(server.url, (0.5, 0.2))).post("/v1/movements", {})
    assert caught.value.exit_code == 3
    assert "may have been done" in caught.value.advice
    assert len({r.headers["Idempotency-Key"] for r in server.requests}) == 1


def test_a_loggers_file_may_take_longer(server: Any) -> None:
    """A table is given the time that a year of readings takes."""
    server.answer(server.reply({"recorded": 2}, 201, late=1.5))
    patient = Network(server.url, (0.5, 1.0))  # twenty times that is far beyond a busy machine
    api = Api(server.url, transport=patient)
    assert api.post_csv("/v1/bays/SHED/readings", b"at,temperature\n").body == {"recorded": 2}
    assert len(server.requests) == 1


def test_no_server(server: Any) -> None:
    """An address that nobody answers at: exit 3, the address, and what to do."""
    server.server_close()
    with pytest.raises(Stopped) as caught:
        Api(server.url).get("/v1/now")
    assert caught.value.exit_code == 3
    assert server.url in caught.value.message
    assert "Nothing was changed" in caught.value.message
    assert "cureyard serve" in caught.value.advice


@pytest.mark.parametrize(
    ("body", "status", "kind"),
    [
        ("<html>welcome</html>", 200, "text/html"),
        ("<html>no</html>", 404, "text/html"),
        ("not json", 418, "application/json"),
        ("{", 422, "application/problem+json"),
    ],
)
def test_another_server(server: Any, body: str, status: int, kind: str) -> None:
    """Something answers there, but it is not the service."""
    server.answer(server.reply(body, status, kind=kind))
    with pytest.raises(Stopped, match="not as Cureyard") as caught:
        Api(server.url).get("/v1/now")
    assert caught.value.exit_code == 3


@pytest.mark.parametrize("body", ["not json", "", "{", "[" * 100_000, "NaN}"])
def test_an_answer_that_is_none(server: Any, body: str) -> None:
    """It says that it is JSON, and can't be read: told, where it is looked into."""
    server.answer(server.reply(body, 200, kind="application/json"))
    with pytest.raises(Stopped, match="not Cureyard") as caught:
        _ = Api(server.url).get("/v1/now").body
    assert caught.value.exit_code == 3


@pytest.mark.parametrize(
    "problem",
    [[], ["x"], "x", 7, {"detail": {"a": 1}}, {"errors": "x"}, {"errors": [1, None, "x"]},
     {"errors": {"a": 1}}, {"type": 7, "detail": None, "advice": []}],
)  # fmt: skip
def test_a_problem_that_is_none(server: Any, problem: Any) -> None:
    """No document of ours: something is said all the same, and nothing breaks."""
    server.answer(server.reply(problem, 422, kind="application/problem+json"))
    with pytest.raises(Stopped) as caught:
        Api(server.url).get("/v1/now")
    assert caught.value.lines()


def test_a_terminal_obeys_no_answer(server: Any, capsys: pytest.CaptureFixture[str]) -> None:
    """What another server says can't move the cursor, colour the words or name the window."""
    words = "no \x1b]0;mine\x07\x1b[2J\u202e\r\nRefused: yes"
    server.answer(
        server.reply({"detail": words, "advice": words}, 409, kind="application/problem+json")
    )
    with pytest.raises(Stopped) as caught:
        Api(server.url).get("/v1/now")
    caught.value.show()
    told = capsys.readouterr().err
    assert told.count("\n") == 2
    assert told.replace("\n", "").isprintable()


@pytest.mark.parametrize("status", [200, 409])
def test_nor_does_it_obey_one_in_json(server: Any, status: int) -> None:
    """The answer and the refusal that `--json` prints have the same values, as escapes."""
    body = {"detail": "no \x9b2J\x1b[2J\u202e\x07", "items": [], "next": None}
    raw = json.dumps(body, ensure_ascii=False)
    raw = raw.replace("\\u001b", "\x1b") if status == 200 else raw  # not even JSON
    kind = "application/json" if status == 200 else "application/problem+json"
    server.answer(server.reply(raw, status, kind=kind))
    told = typed(server, "job", "list", "--json").stdout
    assert told.replace("\n", "").isprintable()
    assert json.loads(told) == body


def test_a_fault_of_a_proxy(server: Any) -> None:
    """A 5xx without a problem document is the server's own fault."""
    server.answer(server.reply("<html>", 500, kind="text/html"))
    with pytest.raises(Refused, match="HTTP status 500") as caught:
        Api(server.url).get("/v1/now")
    assert caught.value.exit_code == 4


def test_a_redirect_is_told_not_followed(server: Any) -> None:
    """A token never goes to an address that the person did not set."""
    server.answer(server.reply(status=307, headers={"Location": "http://127.0.0.1:9/"}))
    with pytest.raises(Stopped, match="sends on to http:"):
        Api(server.url, token="t").get("/v1/now")
    assert len(server.requests) == 1


def test_paths() -> None:
    """What a person types stays one part of the path."""
    assert at("lots", 7, "trace") == "/v1/lots/7/trace"
    assert at("products", "a/b?c=ü") == "/v1/products/a%2Fb%3Fc%3D%C3%BC"
    for part in ("", ".", ".."):
        with pytest.raises(Stopped):
            at("products", part)
