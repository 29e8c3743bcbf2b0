"""The server itself: on a real socket, told to stop by a real signal."""

from __future__ import annotations

import re
import signal
import socket
import sqlite3
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import ExitStack, closing
from pathlib import Path

import pytest
import requests
from cureyard_service.acts.yard.tokens import add_token
from cureyard_service.store.engine.database import db, open_store
from cureyard_service.store.upkeep.migrate import migrate_forward
from cureyard_service.store.yard.hands import Hand
from cureyard_service.web.context import exports, streams
from cureyard_service.web.context.settings import Settings
from cureyard_service.web.serve import SILENT_S, Exposed, serve

from ..waiting import HANGS_S, until
from .telling import TELLING

PROGRAM = f"""{TELLING}
database, host, *proxies = sys.argv[1:]
settings = Settings(database=database, zone="UTC")
serve(host, 0, settings, behind_proxy=bool(proxies), trust=proxies)
"""


@pytest.fixture
def store(tmp_path: Path) -> str:
    """Where the server's store is to be."""
    return str(tmp_path / "yard.sqlite")


@pytest.fixture
def server(store: str) -> Iterator[tuple[subprocess.Popen[str], str]]:
    """A running server and its address, as it tells it."""
    yield from started(store, "127.0.0.1")


def started(
    store: str, *how: str, program: str = PROGRAM
) -> Iterator[tuple[subprocess.Popen[str], str]]:
    """A server in a process of its own."""
    command = [sys.executable, "-c", program, store, *how]
    with subprocess.Popen(command, stderr=subprocess.PIPE, text=True) as process:
        assert process.stderr is not None
        try:
            line = process.stderr.readline()
            address = re.search(r"http://\S+", line)
            assert address is not None, line + process.stderr.read()
            yield process, address[0]
        finally:
            process.kill()


def test_it_answers_and_stops_when_told(server: tuple[subprocess.Popen[str], str]) -> None:
    """SIGTERM ends it at once and well."""
    process, address = server
    assert requests.get(f"{address}/readyz", timeout=HANGS_S).json() == {"state": "ready"}
    process.send_signal(signal.SIGTERM)
    assert process.wait(timeout=HANGS_S) == 0


def test_ctrl_c_ends_it_too(server: tuple[subprocess.Popen[str], str]) -> None:
    """Without a traceback."""
    process, address = server
    requests.get(f"{address}/healthz", timeout=HANGS_S)
    process.send_signal(signal.SIGINT)
    assert process.wait(timeout=HANGS_S) == 0
    assert process.stderr is not None
    assert "Traceback" not in process.stderr.read()


def test_what_is_being_answered_is_answered_first(
    server: tuple[subprocess.Popen[str], str], store: str
) -> None:
    """A write that waits for another when the signal comes still gets its answer."""
    process, address = server
    product = {"name": "Ladle", "code": "LADLE", "role": "sundry"}
    database, answers = open_store(store), []
    with database.transaction("IMMEDIATE"):
        waiting = threading.Thread(
            target=lambda: answers.append(
                requests.post(f"{address}/v1/products", json=product, timeout=HANGS_S)
            )
        )
        waiting.start()
        assert process.stderr is not None
        assert process.stderr.readline() == "it writes\n"
        process.send_signal(signal.SIGTERM)
        assert process.stderr.readline() == "it stops\n"
    waiting.join()
    database.close()
    assert process.wait(timeout=HANGS_S) == 0
    assert answers[0].status_code == 201, answers[0].text


def test_who_hung_up_leaves_a_place_at_once(server: tuple[subprocess.Popen[str], str]) -> None:
    """Without a heartbeat that would have to fail first."""
    url = f"{server[1]}/v1/milestones"

    def listens() -> requests.Response:
        return requests.get(url, stream=True, timeout=HANGS_S)

    bells = [listens() for _ in range(streams.MOST)]
    assert [bell.status_code for bell in bells] == [200] * streams.MOST
    assert listens().status_code == 503
    bells.pop().close()
    until(lambda: listens().status_code == 200, "the place")


def test_who_says_nothing_shuts_nobody_out(server: tuple[subprocess.Popen[str], str]) -> None:
    """110 connections that ask nothing, and as many that stop in their head."""
    with ExitStack() as silent:
        for begun in (b"", b"GET /v1/now HTTP/1.1\r\nHost: loc") * 110:
            silent.enter_context(connected(server[1])).sendall(begun)
        assert requests.get(f"{server[1]}/healthz", timeout=SILENT_S / 2).status_code == 200


def test_who_stops_in_the_head_is_shut_out_in_time(store: str) -> None:
    """After the seconds that a silent connection has, here one."""
    quick = PROGRAM.replace(
        "database, host", "server.SILENT_S = server.SWEEP_S = 1\ndatabase, host"
    )
    quick = quick.replace(
        "import sys", "import sys\nfrom cureyard_service.web import serve as server"
    )
    for _process, address in started(store, "127.0.0.1", program=quick):
        with connected(address) as half:
            half.sendall(b"POST /v1/jobs HTTP/1.1\r\nHost: localhost\r\nContent-Le")
            assert half.recv(65536) == b""


@pytest.mark.parametrize(
    "head",
    [
        b"POST /v1/jobs HTTP/1.1\r\nHost: localhost\r\nContent-Length: 4\r\n"
        b"Transfer-Encoding: chunked\r\n\r\n",
        b"POST /v1/jobs HTTP/1.1\r\nHost: localhost\r\nTransfer-Encoding: chunked\r\n"
        b"Content-Length: 4\r\n\r\n",
        b"POST /v1/jobs HTTP/1.0\r\nHost: localhost\r\nConnection: keep-alive\r\n"
        b"Transfer-Encoding: chunked\r\n\r\n",
    ],
)
def test_two_lengths_are_refused_and_end_the_connection(
    server: tuple[subprocess.Popen[str], str], head: bytes
) -> None:
    """RFC 9112, 6.1: what would come after the body by one of them is never read as a request."""
    smuggled = b"0\r\n\r\nGET /healthz HTTP/1.1\r\nHost: localhost\r\n\r\n"
    with connected(server[1]) as line:
        line.sendall(head + smuggled)
        answer = b"".join(iter(lambda: line.recv(65536), b""))
    assert answer.startswith((b"HTTP/1.1 400", b"HTTP/1.0 400"))
    assert answer.count(b"HTTP/1.") == 2, "its status line, and its own words"
    assert b"not both" in answer


def connected(address: str, receive: int | None = None) -> socket.socket:
    """A connection of one's own to a server; `receive`: bytes taken before they are read."""
    host, port = address.removeprefix("http://").split(":")
    line = socket.socket()
    if receive is not None:
        line.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, receive)
    line.settimeout(HANGS_S)
    line.connect((host, int(port)))
    return line


def test_nobody_changes_its_tables_while_it_runs(
    server: tuple[subprocess.Popen[str], str], store: str
) -> None:
    """It holds its share of the store's lock, beside its file, until it ends."""
    process, _address = server
    with closing(sqlite3.connect(f"{store}.lock", timeout=0.1, isolation_level=None)) as lock:
        with pytest.raises(sqlite3.OperationalError, match="locked"):
            lock.execute("BEGIN EXCLUSIVE")
        process.terminate()
        process.wait(timeout=HANGS_S)
        lock.execute("BEGIN EXCLUSIVE")


def test_its_own_errors_are_not_html(server: tuple[subprocess.Popen[str], str]) -> None:
    """What comes through no client library, and what the server's own parser refuses."""
    _process, address = server
    host, port = address.removeprefix("http://").split(":")
    for raw, status in (
        (b"GET /nowhere HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n", b"404"),
        (b"GET /healthz HTTP/1.0\r\n\r\n", b"403"),
        (b"GET /healthz HTTP/1.1\r\nHost: yard.example\r\nConnection: close\r\n\r\n", b"403"),
        (
            b"GET /v1/yard HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n"
            b"X-Forwarded-For: 192.0.2.7\r\n\r\n",
            b"403",
        ),
        (b"GET / HTTP/1.1\r\nHost localhost\r\nConnection: close\r\n\r\n", b"400"),
        (
            b"POST /v1/jobs HTTP/1.1\r\nHost: localhost\r\nContent-Length: 99999999999\r\n\r\n",
            b"413",
        ),
    ):
        with socket.create_connection((host, int(port)), timeout=HANGS_S) as line:
            line.sendall(raw)
            answer = b"".join(iter(lambda line=line: line.recv(65536), b""))
        assert answer.split(b" ")[1] == status, answer
        assert b"text/html" not in answer


def test_it_serves_on_either_loopback(store: str) -> None:
    """Where the machine has the other one at all."""
    if not socket.has_ipv6:
        pytest.skip("this machine has no IPv6")
    for _process, address in started(store, "::1"):
        assert address.startswith("http://[::1]:")
        assert requests.get(f"{address}/healthz", timeout=HANGS_S).status_code == 200


def test_it_serves_by_this_machines_name(store: str) -> None:
    """localhost has two addresses on most machines: each is told, with its port."""
    for process, address in started(store, "localhost"):
        told = [address]
        if len(socket.getaddrinfo("localhost", 0, type=socket.SOCK_STREAM)) == 2:
            assert process.stderr is not None
            told.append(process.stderr.readline().split()[-1])
        for each in told:
            assert requests.get(f"{each}/healthz", timeout=HANGS_S).status_code == 200
        process.terminate()
        assert process.wait(timeout=HANGS_S) == 0


@pytest.mark.parametrize(
    "host", ["0.0.0.0", "::", "192.0.2.1", "yard.example", "", "localhost.yard.example", "127.1"]
)
def test_it_lets_no_other_machine_in(host: str, store: str) -> None:
    """It has no TLS, so it serves its own machine alone; the store is not even made."""
    with pytest.raises(Exposed, match="--behind-proxy"):
        serve(host, 0, Settings(database=store, zone="UTC"))
    assert not Path(store).exists()


def test_behind_a_proxy_it_wants_a_token_made(store: str) -> None:
    """Nobody could ask; the words say how to make the first."""
    with pytest.raises(Exposed, match="cureyard token add"):
        serve("127.0.0.1", 0, Settings(database=store, zone="UTC"), behind_proxy=True)
    db.close()


@pytest.mark.parametrize("host", ["0.0.0.0", "::", "192.0.2.1", "yard.example", ""])
def test_behind_a_proxy_it_lets_no_machine_in_past_it(host: str, store: str) -> None:
    """In the clear and with any headers: unless the proxy is named. The store is not even made."""
    with pytest.raises(Exposed, match="--trust"):
        serve(host, 0, Settings(database=store, zone="UTC"), behind_proxy=True)
    with pytest.raises(Exposed, match="--behind-proxy"):
        serve(host, 0, Settings(database=store, zone="UTC"), trust=["192.0.2.20"])
    assert not Path(store).exists()


@pytest.mark.parametrize(
    "trust",
    ["", "proxy.example", "192.0.2.0/24", "*", "0.0.0.0", "::", "224.0.0.1", "192.0.2.1:80"],
)
def test_only_the_address_of_a_machine_is_trusted(trust: str, store: str) -> None:
    """Not a name, which others may point elsewhere, nor a whole network."""
    with pytest.raises(Exposed, match="is not the address of a machine"):
        serve("0.0.0.0", 0, Settings(database=store, zone="UTC"), behind_proxy=True, trust=[trust])
    assert not Path(store).exists()


PASSED_ON = {"X-Forwarded-Host": "yard.example", "X-Forwarded-Proto": "https"}


def test_behind_a_proxy_everybody_logs_in(store: str) -> None:
    """Over a real socket at all addresses: no token, a wrong one, the right one."""
    secret = _secret(store)
    for _process, address in started(store, "0.0.0.0", "127.0.0.1", "192.0.2.20"):
        address = address.replace("0.0.0.0", "127.0.0.1")
        told = [
            requests.get(f"{address}/v1/yard", headers=PASSED_ON | shown, timeout=HANGS_S)
            for shown in ({}, {"Authorization": "Bearer x"}, {"Authorization": f"Bearer {secret}"})
        ]
        assert [answer.status_code for answer in told] == [401, 401, 200]
        assert told[0].json()["type"].startswith("https://yard.example/problems/")


def test_the_address_of_the_connection_itself_counts(store: str) -> None:
    """The headers of the named proxy alone are believed, whatever the others say that they are."""
    _secret(store)
    for _process, address in started(store, "0.0.0.0", "127.0.0.3"):
        port = int(address.rpartition(":")[2])
        for source, believed in (("127.0.0.3", True), ("127.0.0.1", False), ("127.0.0.4", False)):
            try:
                line = socket.create_connection(("127.0.0.1", port), 10, (source, 0))
            except OSError:
                pytest.skip("this machine has one loopback address")
            with line:
                line.sendall(
                    b"GET /v1/yard HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n"
                    b"X-Forwarded-Host: yard.example\r\nX-Forwarded-For: 127.0.0.3\r\n\r\n"
                )
                answer = b"".join(iter(lambda line=line: line.recv(65536), b""))
            assert answer.split(b" ")[1] == b"401"
            assert (b"//yard.example/problems/" in answer) is believed


def _secret(store: str) -> str:
    """A hand's token in a new store."""
    migrate_forward(open_store(store))
    made = add_token(name="Rui", role="hand", now=0, hand=Hand("Ada", False, "admin"))
    db.close()
    return made.token


def test_its_log_is_on_stderr(store: str) -> None:
    """With `log` each request is a line of it, with a date before it."""
    program = PROGRAM.replace("trust=proxies)", "trust=proxies, log=True)")
    with subprocess.Popen(
        [sys.executable, "-c", program, store, "127.0.0.1"], stderr=subprocess.PIPE, text=True
    ) as process:
        assert process.stderr is not None
        address = process.stderr.readline().split()[-1]
        answer = requests.get(f"{address}/v1/now", timeout=HANGS_S)
        line = process.stderr.readline()
        process.terminate()
    assert re.match(rf"\d{{4}}-\d\d-\d\d .* INFO {answer.headers['Request-Id']} 200 \d+ ms", line)
    assert "GET /v1/now from 127.0.0.1 by nobody" in line


SMALL_BUFFERS = """
import socket
from cureyard_service.web import serve as server
server.SILENT_S = server.SWEEP_S = 1
create = server.waitress.create_server


def small(app, **given):
    made = create(app, outbuf_high_watermark=20_000, **given)
    for each in given["map"].values():
        if hasattr(each, "channel_class"):
            each.socket.setsockopt(socket.SOL_SOCKET, socket.SO_SNDBUF, 4096)
    return made


server.waitress.create_server = small
"""


def test_a_table_that_nobody_reads_gives_its_turn_back(store: str) -> None:
    """Two readers stop in the middle; after the seconds of a silent connection others are served.

    So little may be unread here that the table does not fit, as a million rows would not.
    """
    bay = {"code": "SHED", "title": "Shed", "day": "20 degC", "night": "16 degC"}
    hours = {"day_from": "07:00", "day_until": "18:00"}
    quick = PROGRAM.replace("import sys", f"import sys\n{SMALL_BUFFERS}")
    for _process, address in started(store, "127.0.0.1", program=quick):
        assert requests.post(f"{address}/v1/bays", json=bay | hours, timeout=HANGS_S).ok
        log = "at,temperature\n" + "".join(
            f"2026-01-{n // 1440 + 1:02}T{n // 60 % 24:02}:{n % 60:02}:00Z,20 degC\n"
            for n in range(15_000)
        )
        put = requests.post(
            f"{address}/v1/imports/readings/SHED",
            data=log,
            headers={"Content-Type": "text/csv"},
            timeout=HANGS_S,
        )
        assert put.ok, put.text
        url = f"{address}/v1/exports/readings/SHED"
        with ExitStack() as stopped:
            for _ in range(exports.MOST):
                line = stopped.enter_context(connected(address, receive=4096))
                line.sendall(b"GET /v1/exports/readings/SHED HTTP/1.1\r\nHost: localhost\r\n\r\n")
                assert line.recv(12) == b"HTTP/1.1 200"
            assert requests.get(url, timeout=HANGS_S).status_code == 503
            until(lambda url=url: requests.get(url, timeout=HANGS_S).ok, "a turn")
