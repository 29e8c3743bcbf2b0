"""A server that answers from a script, on a real socket in a thread."""

from __future__ import annotations

import json
import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result
from cureyard_client import embedded as service
from cureyard_client.asking import Start
from cureyard_client.main import program
from cureyard_client.settings import Settings

from .. import makers
from ..putting import by_commands

Hand = Callable[..., str]

JSON, PROBLEM = "application/json", "application/problem+json"


@dataclass
class Request:
    """A request as it arrived."""

    method: str
    path: str
    headers: dict[str, str]
    body: bytes

    @property
    def json(self) -> Any:
        """The body's JSON."""
        return json.loads(self.body)


@dataclass
class Reply:
    """An answer to give, `late` by some seconds; with `drop` or `hangs` none, and the line is cut
    or left open; with `short` it is cut before the answer's end.
    """

    body: Any = field(default_factory=dict)
    status: int = 200
    kind: str = JSON
    headers: dict[str, str] = field(default_factory=dict)
    late: float = 0.0
    hangs: bool = False
    drop: bool = False
    short: bool = False


class FakeServer(ThreadingHTTPServer):
    """Answers from a script, in order; the last answer for ever."""

    daemon_threads = True

    def __init__(self) -> None:
        super().__init__(("127.0.0.1", 0), Handler)
        self.script = [Reply()]
        self.requests: list[Request] = []
        self.over = threading.Event()

    @property
    def url(self) -> str:
        """Its address."""
        return f"http://127.0.0.1:{self.server_address[1]}"

    def answer(self, *replies: Reply) -> None:
        """Set the script."""
        self.script = list(replies)

    def handle_error(self, *args: Any) -> None:
        """Say nothing of a client that went away."""

    @staticmethod
    def reply(body: Any = None, status: int = 200, **more: Any) -> Reply:
        """An answer that is no refusal."""
        return Reply({} if body is None else body, status, **more)

    @staticmethod
    def refusal(status: int, slug: str, more: Any = None, **headers: str) -> Reply:
        """A problem document as the service words it."""
        body = {"type": f"http://localhost/problems/{slug}", "title": slug, "status": status,
                "detail": f"{slug}!", "changed": False, **(more or {})}  # fmt: skip
        return Reply(body, status, PROBLEM, headers)


class Handler(BaseHTTPRequestHandler):
    """Notes a request, then gives the next reply."""

    server: FakeServer

    def handle_any(self) -> None:
        """Answer whatever was asked."""
        body = self.rfile.read(int(self.headers.get("Content-Length") or 0))
        self.server.requests.append(
            Request(self.command, self.path, dict(self.headers.items()), body)
        )
        script = self.server.script
        reply = script.pop(0) if len(script) > 1 else script[0]
        time.sleep(reply.late)
        if reply.hangs:
            self.server.over.wait()
        if reply.drop or reply.hangs:
            self.close_connection = True
            return
        self._write(reply)

    def _write(self, reply: Reply) -> None:
        text = reply.body if isinstance(reply.body, str) else json.dumps(reply.body)
        self.send_response(reply.status)
        for name, value in {"Content-Type": reply.kind, **reply.headers}.items():
            self.send_header(name, value)
        self.send_header("Content-Length", str(len(text.encode()) + reply.short))
        self.close_connection = reply.short
        self.end_headers()
        self.wfile.write(text.encode())

    do_GET = do_POST = do_PUT = do_PATCH = handle_any  # noqa: N815

    def log_message(self, *args: Any) -> None:
        """Say nothing."""


@pytest.fixture
def server() -> Iterator[FakeServer]:
    """A running server with an empty script."""
    fake = FakeServer()
    thread = threading.Thread(target=fake.serve_forever, kwargs={"poll_interval": 0.02})
    thread.start()
    yield fake
    fake.over.set()
    fake.shutdown()
    thread.join()
    fake.server_close()


@pytest.fixture(autouse=True)
def nobodys_settings(monkeypatch: pytest.MonkeyPatch, tmp_path_factory: Any) -> None:
    """No setting of whoever runs the tests reaches them, and no test reaches theirs."""
    for name in ("URL", "TOKEN", "DATABASE", "ZONE", "UNITS", "HAND", "JOB", "BAY"):
        monkeypatch.delenv(f"CUREYARD_{name}", raising=False)
    home = tmp_path_factory.mktemp("home")
    for name in ("HOME", "XDG_CONFIG_HOME", "XDG_DATA_HOME", "APPDATA", "LOCALAPPDATA"):
        monkeypatch.setenv(name, str(home))


def program_on(database: str) -> Callable[..., Result]:
    """The program on a store that it opens itself; a call types a command and checks its exit."""
    given = Settings(database=database, zone="Europe/Lisbon", hand="Ines")

    def types(*arguments: str, exits: int = 0, pipe: str = "", columns: int = 120) -> Result:
        done = CliRunner().invoke(
            program, arguments, input=pipe, obj=Start(given=given), env={"COLUMNS": str(columns)}
        )
        assert done.exit_code == exits, f"{arguments}\n{done.output}\n{done.exception!r}"
        return done

    return types


@pytest.fixture
def embedded(tmp_path: Path) -> Iterator[Hand]:
    """Somebody whose program opens a new store itself; a call gives what is printed."""
    types = program_on(str(tmp_path / "yard.sqlite"))
    yield lambda *arguments, **options: types(*arguments, **options).output
    service.close()


@pytest.fixture
def yard(embedded: Hand) -> Hand:
    """Somebody at a yard with 2 m of mat and a job; a call gives what is printed."""
    by_commands(
        embedded, products=[makers.mat("MAT-450")], lots=[makers.lot("MAT-450", "2 m", "R-1")],
        jobs=[makers.job("26-014")],
    )  # fmt: skip
    return embedded
