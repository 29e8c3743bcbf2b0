"""Services in processes of their own, and how a row asks them."""

from __future__ import annotations

import http.client
import json
import secrets
import subprocess
import sys
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from datetime import UTC, datetime
from typing import Any

from .harness import Timed

Request = dict[str, Any]


def get(path: str, *, traced: bool = False) -> Request:
    """A request that reads; `traced` says which statements it came to."""
    return {"method": "GET", "path": path, "body": None, "headers": {}, "traced": traced}


def post(path: str, body: Any, *, table: bool = False, traced: bool = False) -> Request:
    """A request that writes, with a key of its own; a `table` is CSV."""
    kind = "text/csv" if table else "application/json"
    headers = {"Content-Type": kind, "Idempotency-Key": secrets.token_hex(8)}
    text = body if table else json.dumps(body)
    return {"method": "POST", "path": path, "body": text, "headers": headers, "traced": traced}


def moment(at: int) -> str:
    """A moment (epoch s) as it is sent."""
    return datetime.fromtimestamp(at, UTC).isoformat()


class Piped:
    """A service asked by pipe: its own time, without a network's."""

    def __init__(self, process: subprocess.Popen[str]) -> None:
        self.pid = process.pid
        self._hears: Any = process.stdin
        self._says: Any = process.stdout
        assert self._says.readline() == "ready\n"

    def send(self, requests: Sequence[Request]) -> None:
        """Ask for something, and go on meanwhile."""
        self._hears.write(json.dumps(requests) + "\n")
        self._hears.flush()

    def receive(self) -> list[dict[str, Any]]:
        """What was answered."""
        answers: list[dict[str, Any]] = json.loads(self._says.readline())
        return answers

    def ask(self, request: Request) -> dict[str, Any]:
        """Ask for one thing that must go well."""
        self.send([request])
        (answer,) = self.receive()
        _went_well(answer["status"], answer["text"])
        return answer

    def taking(self, request: Any) -> Timed:
        """The time of a request, made anew each time."""
        return lambda: float(self.ask(request())["took"])


class Kept:
    """A service asked over HTTP, on one connection that is kept."""

    def __init__(self, process: subprocess.Popen[str]) -> None:
        assert process.stdout is not None
        self.pid = process.pid
        self.port = int(process.stdout.readline())
        self._line = http.client.HTTPConnection("127.0.0.1", self.port, timeout=120)

    @property
    def url(self) -> str:
        """Its address."""
        return f"http://127.0.0.1:{self.port}"

    def ask(self, request: Request, *, well: bool = True) -> float:
        """Ask for one thing; the seconds until the answer was read.

        Args:
            well: whether it must go well; if not, it must be refused.
        """
        began = time.perf_counter()
        self._line.request(request["method"], request["path"], request["body"], request["headers"])
        answer = self._line.getresponse()
        text = answer.read()
        took = time.perf_counter() - began
        if well:
            _went_well(answer.status, text.decode())
        elif not 400 <= answer.status < 500:
            raise RuntimeError(f"{answer.status}, and it should be refused: {text[:500]!r}")
        return took

    def taking(self, request: Any) -> Timed:
        """The time of a request, made anew each time."""
        return lambda: self.ask(request())


def _went_well(status: int, text: str) -> None:
    if status >= 400:
        raise RuntimeError(f"{status}: {text[:500]}")


@contextmanager
def piped(kind: str, store: str) -> Iterator[Piped]:
    """A service by pipe: `cureyard`, `bare` or `same`."""
    with _started(kind, store, "pipe") as process:
        yield Piped(process)


@contextmanager
def kept(kind: str, store: str) -> Iterator[Kept]:
    """A service over HTTP: `cureyard`, `bare` or `same`."""
    with _started(kind, store, "http") as process:
        yield Kept(process)


@contextmanager
def _started(kind: str, store: str, way: str) -> Iterator[subprocess.Popen[str]]:
    process = subprocess.Popen(
        [sys.executable, "-m", "tests.bench.host", kind, store, way],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
    )  # fmt: skip
    try:
        yield process
    finally:
        process.terminate()
        process.communicate()
