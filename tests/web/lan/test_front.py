"""The yard's network on real sockets: who shuts nobody out, who is known, what plain HTTP gets.

CWE-400 uncontrolled resource consumption, CWE-290 authentication bypass by spoofing,
CWE-319 cleartext transmission; RFC 9112, 6.3 and 11.2 (message body length, request smuggling).
"""

from __future__ import annotations

import os
import re
import signal
import socket
import ssl
import time
from collections.abc import Iterator
from contextlib import ExitStack, suppress
from itertools import count
from pathlib import Path
from threading import Event, Thread

import pytest
import requests
from cureyard_service.store.engine.database import open_store
from cureyard_service.web.context import streams
from cureyard_service.web.lan.crowd import MOST_EACH
from cureyard_service.web.lan.talk import MOST_BODY, MOST_HEAD, STRANGERS_BODY, Patience

from ...waiting import HANGS_S, until
from .networked import Networked, answered, networked

SOON_S = 3.0
"""An honest caller's patience."""
ATTACKER = "127.0.0.3"


@pytest.fixture(scope="module")
def shared(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Networked]:
    """A yard for tests that leave it as it was."""
    with networked(tmp_path_factory.mktemp("yard")) as yard:
        yield yard


@pytest.fixture
def yard(tmp_path: Path) -> Iterator[Networked]:
    """A yard of the test's own."""
    with networked(tmp_path) as yard:
        yield yard


def test_both_ways_in_are_answered(shared: Networked) -> None:
    """The network by TLS, this machine as it was; each needs a token."""
    for address in (shared.plain, shared.address):
        asked = [
            requests.get(
                f"{address}/v1/yard", headers=shown, verify=shared.trusted, timeout=HANGS_S
            )
            for shown in ({}, {"Authorization": "Bearer x"}, shared.bearer)
        ]
        assert [answer.status_code for answer in asked] == [401, 401, 200]


def test_plain_http_on_the_network_gets_no_answer(shared: Networked) -> None:
    """A closed connection, or at most an alert of TLS (RFC 8446, 6: content type 21)."""
    with shared.bare() as line:
        try:
            told = answered(line, b"GET /healthz HTTP/1.1\r\nHost: localhost\r\n\r\n")
        except ConnectionResetError:
            told = b""
    assert told == b"" or told[0] == 21
    assert b"HTTP" not in told


def test_old_tls_is_refused(shared: Networked) -> None:
    """TLS 1.1 has been deprecated by RFC 8996."""
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_CLIENT)
    context.check_hostname, context.verify_mode = False, ssl.CERT_NONE
    context.set_ciphers("ALL:@SECLEVEL=0")
    with pytest.warns(DeprecationWarning, match="deprecated"):
        context.minimum_version = ssl.TLSVersion.TLSv1
    with pytest.warns(DeprecationWarning, match="deprecated"):
        context.maximum_version = ssl.TLSVersion.TLSv1_1
    with shared.bare() as line, pytest.raises((ssl.SSLError, ConnectionError)):
        context.wrap_socket(line)


def test_a_crowd_that_says_nothing_shuts_nobody_out(yard: Networked) -> None:
    """110 silent, 110 half heads, 30 bodies by the byte; the next is answered, beside them too."""
    stopped = Event()
    with ExitStack() as crowd:
        for _ in range(110):
            crowd.enter_context(yard.bare(ATTACKER))
        for _ in range(110):
            _half(crowd, yard, b"GET /healthz HTTP/1.1\r\nHost: y")
        slow = [
            _half(crowd, yard, b"POST /enter HTTP/1.1\r\nHost: y\r\nContent-Length: 60000\r\n\r\n")
            for _ in range(30)
        ]
        dripping = Thread(target=_drip, args=(slow, stopped))
        dripping.start()
        try:
            for source in ("127.0.0.1", ATTACKER, "127.0.0.4"):
                for _ in range(5):
                    began = time.monotonic()
                    with yard.line(source) as line:
                        told = answered(line, _get("/healthz"))
                    assert told.startswith(b"HTTP/1.1 200"), told
                    assert time.monotonic() - began < SOON_S
        finally:
            stopped.set()
            dripping.join()


def _half(crowd: ExitStack, yard: Networked, raw: bytes) -> ssl.SSLSocket:
    line = crowd.enter_context(yard.line(ATTACKER))
    line.sendall(raw)
    return line


def _drip(lines: list[ssl.SSLSocket], stopped: Event) -> None:
    """A byte a second on each."""
    while not stopped.wait(1):
        for line in lines:
            with suppress(OSError):  # ended, to make room
                line.send(b"x")


def _get(path: str, *more: str) -> bytes:
    return "\r\n".join(
        [f"GET {path} HTTP/1.1", "Host: yard", "Connection: close", *more, "", ""]
    ).encode()


def test_one_address_holds_no_more_than_its_share(yard: Networked) -> None:
    """Of 110 silent connections most are ended at once."""
    with ExitStack() as silent:
        lines = [silent.enter_context(yard.bare(ATTACKER)) for _ in range(110)]
        until(lambda: sum(map(_is_over, lines)) >= 110 - MOST_EACH, "the rest")
        assert sum(map(_is_over, lines)) == 110 - MOST_EACH


def _is_over(line: socket.socket) -> bool:
    line.setblocking(False)
    try:
        return line.recv(1, socket.MSG_PEEK) == b""
    except ConnectionError:
        return True
    except BlockingIOError:
        return False


@pytest.mark.parametrize(
    ("begun", "drips"),
    [
        (b"GET /healthz HTTP/1.1\r\nHost: y", False),
        (b"GET /healthz HTTP/1.1\r\nHost: ", True),
        (b"POST /enter HTTP/1.1\r\nHost: y\r\nContent-Length: 50\r\n\r\n", False),
        (b"POST /enter HTTP/1.1\r\nHost: y\r\nContent-Length: 5000\r\n\r\n", True),
    ],
)
def test_who_is_too_slow_is_told_and_ended(shared: Networked, begun: bytes, drips: bool) -> None:
    """408 (RFC 9110, 15.5.9), after the seconds that a head or a body has, also byte by byte."""
    began = time.monotonic()
    with shared.line() as line:
        line.sendall(begun)
        line.settimeout(0.5)
        told = b""
        while not told and time.monotonic() - began < 60:
            if drips:
                with suppress(OSError):
                    line.send(b"x")
            with suppress(TimeoutError):
                told = line.recv(4096)
    assert told.startswith(b"HTTP/1.1 408 "), told
    assert time.monotonic() - began >= min(Patience().head, Patience().grace) - 1


def test_a_body_at_a_fair_rate_is_taken(shared: Networked) -> None:
    """Slower than a wire, faster than a drip: 16 KiB in 8 pieces; wrong, so that it is judged."""
    body = b"token=" + b"x" * (16 * 1024 - 6)
    with shared.line() as line:
        line.sendall(
            b"POST /enter HTTP/1.1\r\nHost: y\r\nConnection: close\r\n"
            b"Content-Type: application/x-www-form-urlencoded\r\n"
            b"Content-Length: %d\r\n\r\n" % len(body)
        )
        for at in range(0, len(body), 2048):
            time.sleep(0.2)
            line.sendall(body[at : at + 2048])
        assert answered(line, b"").startswith(b"HTTP/1.1 401 ")


def test_a_strangers_large_body_is_not_taken(shared: Networked) -> None:
    """The refusal comes although nobody sent the body; a known person's is waited for."""
    head = (
        "POST /v1/imports/lots HTTP/1.1\r\nHost: yard\r\nContent-Type: text/csv\r\n"
        f"Content-Length: {STRANGERS_BODY + 1}\r\n"
    )
    for shown in ("", "Authorization: Bearer cureyard_wrong\r\n", "Cookie: cureyard=x\r\n"):
        with shared.line() as line:
            told = answered(line, f"{head}{shown}\r\n".encode())
        assert told.startswith(b"HTTP/1.1 401 "), told
        assert b"not-authenticated" in told
    with shared.line() as line:
        line.sendall(f"{head}Authorization: Bearer {shared.secret}\r\n\r\n".encode())
        line.settimeout(1)
        with pytest.raises(TimeoutError):
            line.recv(1)
        line.settimeout(HANGS_S)
        line.sendall(b"x" * (STRANGERS_BODY + 1))
        assert b"HTTP/1.1 4" in line.recv(65536)


def test_a_stranger_who_sends_it_all_reads_the_refusal(shared: Networked) -> None:
    """8 MiB by an ordinary library, which first sends and then reads."""
    answer = requests.post(
        f"{shared.address}/v1/imports/lots", data=b"x" * 8 * 1024 * 1024, verify=shared.trusted,
        headers={"Content-Type": "text/csv"}, timeout=HANGS_S,
    )  # fmt: skip
    assert answer.status_code == 401


@pytest.mark.parametrize(
    ("head", "status"),
    [
        (b"POST / HTTP/1.1\r\nHost: y\r\nContent-Length: 3\r\nTransfer-Encoding: chunked", 411),
        (b"POST / HTTP/1.1\r\nHost: y\r\nTransfer-Encoding: chunked", 411),
        (b"POST / HTTP/1.1\r\nHost: y\r\nContent-Length: 3\r\nContent-Length: 4", 400),
        (b"POST / HTTP/1.1\r\nHost: y\r\nContent-Length: +3", 400),
        (b"POST / HTTP/1.1\r\nHost: y\r\nContent-Length: 3,3", 400),
        (b"POST / HTTP/1.1\r\nHost: y\r\nContent-Length: -1", 400),
        (b"POST / HTTP/1.1\r\nHost: y\r\nContent-Length : 3", 400),
        (b"POST / HTTP/1.1\r\nHost: y\r\n Content-Length: 3", 400),
        (b"POST / HTTP/1.1\r\nHost: y\nContent-Length: 3", 400),
        (b"POST / HTTP/1.1\r\nHost: y\r\nContent-Length: %d" % (MOST_BODY + 1), 413),
        (b"GET / HTTP/1.1\r\nHost: y\r\nX: " + b"x" * MOST_HEAD, 431),
        (b"GET / HTTP/9.9\r\nHost: y", 400),
        (b"nonsense", 400),
        (b"\x16\x03\x01", 400),
    ],
)
def test_what_could_be_read_in_two_ways_ends_the_connection(
    shared: Networked, head: bytes, status: int
) -> None:
    """Nothing of it reaches the server, and what is sent after it is not read as a request."""
    with shared.line() as line:
        told = answered(line, head + b"\r\n\r\nGET /healthz HTTP/1.1\r\nHost: y\r\n\r\n")
    assert told.startswith(b"HTTP/1.1 %d " % status), told
    assert told.count(b"HTTP/1.1") == 1
    assert b"Connection: close" in told
    assert b"Nothing was changed." in told


def test_a_connection_is_used_again(shared: Networked) -> None:
    """Two requests, one after the other, and two at once."""
    ask = _get("/healthz").replace(b"Connection: close\r\n", b"")
    with shared.line() as line:
        for _ in range(2):
            line.sendall(ask)
            told = b""
            while b'{"state":"alive"}' not in told:
                told += line.recv(65536)
            assert told.startswith(b"HTTP/1.1 200")
        told = answered(line, ask + _get("/readyz"))
        assert told.count(b"HTTP/1.1 200 OK") == 2


def test_who_asks_is_known_and_can_not_be_forged(yard: Networked) -> None:
    """The log has the connection's own address, whatever the headers say."""
    forged = (
        "X-Forwarded-For: 10.9.9.9", "X-Real-IP: 10.9.9.9", "Forwarded: for=10.9.9.9",
        "X-Forwarded-Host: evil.example", "REMOTE_ADDR: 10.9.9.9", "Remote-Port: 1",
    )  # fmt: skip
    log = yard.logged()
    for source in ("127.0.0.5", "127.0.0.6"):
        with yard.line(source) as line:
            told = answered(line, _get("/v1/yard", *forged))
        assert told.startswith(b"HTTP/1.1 401 ")
        assert b"https://yard/problems/" in told
        (logged,) = [next(log)]
        assert f" from {source} by nobody" in logged
        assert "10.9.9.9" not in logged


def test_wrong_tokens_slow_their_own_address_alone(yard: Networked) -> None:
    """The limit of each address counts by who really asks."""
    wrong = _get("/v1/yard", "Authorization: Bearer cureyard_wrong")
    for number in count():
        with yard.line("127.0.0.5") as line:
            told = answered(line, wrong)
        if told.startswith(b"HTTP/1.1 429 "):
            break
        assert number < 100
    with yard.line("127.0.0.6") as line:
        assert answered(line, wrong).startswith(b"HTTP/1.1 401 ")


def test_the_fronts_own_way_in_is_closed_to_others(yard: Networked) -> None:
    """Another program of this machine that finds the port is nobody there, even with a token."""
    own = {yard.port, int(yard.plain.rpartition(":")[2])}
    (inner,) = _listening(yard.process.pid) - own
    answer = requests.get(f"http://127.0.0.1:{inner}/v1/yard", headers=yard.bearer, timeout=HANGS_S)
    assert (answer.status_code, answer.json()["slug"]) == (403, "foreign-host")


def _listening(process: int) -> set[int]:
    """The ports at which a process listens (proc(5))."""
    folder = Path(f"/proc/{process}")
    if not folder.exists():
        pytest.skip("this machine has no /proc")
    links = (os.readlink(each) for each in (folder / "fd").iterdir())
    mine = {found[1] for link in links if (found := re.fullmatch(r"socket:\[(\d+)\]", link))}
    rows = [row.split() for row in (folder / "net" / "tcp").read_text().splitlines()[1:]]
    return {int(row[1][-4:], 16) for row in rows if row[3] == "0A" and row[9] in mine}


def test_who_hung_up_leaves_a_place_at_once(yard: Networked) -> None:
    """A stream ends when its reader is gone."""

    def listens() -> requests.Response:
        return yard.get("/v1/milestones", stream=True)

    bells = [listens() for _ in range(streams.MOST)]
    assert [bell.status_code for bell in bells] == [200] * streams.MOST
    assert listens().status_code == 503
    bells.pop().close()
    until(lambda: listens().status_code == 200, "the place")


def test_a_stop_takes_seconds(yard: Networked) -> None:
    """With open streams, silent connections, half heads and a body on its way."""
    with ExitStack() as crowd:
        crowd.enter_context(yard.get("/v1/milestones", stream=True))
        for _ in range(20):
            crowd.enter_context(yard.bare())
            _half(crowd, yard, b"GET / HTTP/1.1\r\nHo")
        _half(crowd, yard, b"POST /enter HTTP/1.1\r\nHost: y\r\nContent-Length: 9000\r\n\r\nx")
        began = time.monotonic()
        yard.process.send_signal(signal.SIGTERM)
        assert yard.process.wait(timeout=HANGS_S) == 0
        assert time.monotonic() - began < 10
    assert "Traceback" not in "".join(yard.logged())
    assert not (yard.trusted.parent / "address.txt").exists()


def test_what_is_being_answered_is_answered_first(yard: Networked) -> None:
    """A write that waits for another when the signal comes still gets its answer."""
    store, answers, log = str(yard.trusted.parent).removesuffix(".lan"), [], yard.logged()

    def writes() -> None:
        answers.append(
            requests.post(
                f"{yard.address}/v1/products", verify=yard.trusted, headers=yard.bearer,
                json={"name": "Ladle", "code": "LADLE", "role": "sundry"}, timeout=HANGS_S,
            )
        )  # fmt: skip

    database = open_store(store)
    with database.transaction("IMMEDIATE"):
        waiting = Thread(target=writes)
        waiting.start()
        assert next(log) == "it writes\n"
        yard.process.send_signal(signal.SIGTERM)
        assert next(log) == "it stops\n"
    waiting.join()
    database.close()
    assert yard.process.wait(timeout=HANGS_S) == 0
    assert answers[0].status_code == 201, answers[0].text


def test_a_secret_in_an_address_is_in_no_log(yard: Networked) -> None:
    """A phone's code is written as dots, used or not."""
    answer = yard.get("/pair/cureyard_0123456789abcdefghij", headers={})
    assert answer.status_code == 404
    line = next(yard.logged())
    assert re.search(r"WARNING \S+ 404 .* GET /pair/… from 127\.0\.0\.1 by nobody", line), line
