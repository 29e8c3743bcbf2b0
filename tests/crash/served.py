"""A real `cureyard serve` that can be killed, and clients that do not give up."""

from __future__ import annotations

import os
import random
import secrets
import signal
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import requests

from .. import makers
from ..putting import by_http
from ..waiting import HANGS_S

CUREYARD = Path(sys.executable).parent / "cureyard"

DEAF = 0.1
"""How often a client does not hear the answer, as when the line breaks: it sends again."""


@dataclass
class Server:
    """`cureyard serve` on a store, always at one port.

    Attributes:
        database: the store's address.
        home: a folder for the program's own files.
        limit: a shell's words before it, such as `ulimit`.
    """

    database: str
    home: Path
    limit: str = ""
    port: int = field(default_factory=lambda: free_port())
    process: subprocess.Popen[str] | None = None

    @property
    def url(self) -> str:
        """Its address."""
        return f"http://127.0.0.1:{self.port}"

    def start(self, wait: bool = True) -> Server:
        """Bring it up, and wait until it says that it serves."""
        program = f"{self.limit} exec '{CUREYARD}' serve --port {self.port}"
        self.process = subprocess.Popen(
            ["sh", "-c", program], env=self.environment(),
            stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True,
        )  # fmt: skip
        return self.wait() if wait else self

    def wait(self) -> Server:
        """See that it serves."""
        assert self.process is not None
        assert self.process.stderr is not None
        line = self.process.stderr.readline()
        assert line.startswith("Serving at"), line + self.process.stderr.read()
        return self

    def kill(self) -> None:
        """As the system does when it is out of memory, or a hand at the switch."""
        assert self.process is not None
        self.process.kill()
        self._ended()

    def stop(self) -> str:
        """As it should be; what it said on stderr."""
        assert self.process is not None
        self.process.send_signal(signal.SIGTERM)
        said = self._ended()
        assert self.process.returncode == 0, said
        return said

    def end(self) -> None:
        """Leave nothing running behind a test, however it went."""
        if self.process is not None and self.process.poll() is None:
            self.kill()

    def _ended(self) -> str:
        assert self.process is not None
        return self.process.communicate(timeout=HANGS_S)[1]

    def types(self, *arguments: str, exits: int = 0) -> str:
        """A command on the same store; what it prints."""
        done = subprocess.run(
            [CUREYARD, *arguments], env=self.environment(), capture_output=True, text=True,
            timeout=HANGS_S,
        )  # fmt: skip
        assert "Traceback" not in done.stderr, done.stderr
        assert done.returncode == exits, done.stdout + done.stderr
        return done.stdout + done.stderr

    def environment(self) -> dict[str, str]:
        """All that the program knows."""
        return {
            "PATH": os.defpath, "HOME": str(self.home), "CUREYARD_DATABASE": self.database,
            "CUREYARD_ZONE": "UTC",
        }  # fmt: skip


@contextmanager
def serving(database: str, home: Path, limit: str = "") -> Iterator[Server]:
    """A server that has come up, and is gone after the test."""
    server = Server(database, home, limit)
    try:
        yield server.start()
    finally:
        server.end()


def free_port() -> int:
    """A port that nothing listens at."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def stock(url: str, lots: int, quantity: str, product: str = "MICROS") -> list[int]:
    """A new product in so many lots; their ids."""
    by_http(url, products=[makers.product(product, "filler")])
    bodies = [makers.lot(product, quantity, f"L{number}") for number in range(lots)]
    return [int(lot["id"]) for lot in by_http(url, lots=bodies)]


@dataclass
class Client:
    """Somebody who sends each thing with its key until it is answered.

    Attributes:
        urls: servers to ask in turn.
        told: what was answered 201, by its key: path, body, the answer's text.
        acknowledged: of scraps that were answered 201, by their keys: (lot, grams, movement id).
        seen: every answer's status that was not what was hoped for, with its words.
    """

    urls: list[str]
    told: dict[str, tuple[str, dict[str, Any], str]] = field(default_factory=dict)
    acknowledged: dict[str, tuple[int, int, int]] = field(default_factory=dict)
    seen: list[tuple[int, str]] = field(default_factory=list)

    def scrap(self, lot: int, grams: int) -> int:
        """Take grams from a lot; the status that it came to. The key stands as the reason."""
        key = secrets.token_hex(8)
        body = {"kind": "scrap", "lot": lot, "quantity": f"{grams} g", "reason": key}
        answer = self.does("/v1/movements", body, key)
        if answer.status_code == 201:
            (line,) = answer.json()["movements"]
            self.acknowledged[key] = (lot, grams, line["id"])
        return answer.status_code

    def does(self, path: str, body: dict[str, Any], key: str) -> requests.Response:
        """Post something, and keep what was told of it."""
        answer = self.post(path, body, key)
        if answer.status_code == 201:
            self.told[key] = path, body, answer.text
        return answer

    def post(self, path: str, body: dict[str, Any], key: str) -> requests.Response:
        """Send until an answer is heard that is not 'later'.

        Raises: requests.Timeout: a server that is there leaves it waiting without end.
        """
        until = time.monotonic() + HANGS_S
        while True:
            try:
                answer = requests.post(
                    self.urls[0] + path,
                    json=body,
                    headers={"Idempotency-Key": key},
                    timeout=HANGS_S,
                )
            except requests.Timeout:
                raise
            except requests.RequestException:  # the server is dead or died: nobody knows, so again
                answer = None
            if answer is not None and random.random() > DEAF:
                if answer.status_code != 201:
                    self.seen.append((answer.status_code, answer.text))
                if answer.status_code != 503:
                    return answer
                assert int(answer.headers["Retry-After"]) >= 1
            assert time.monotonic() < until, f"never answered but: {self.seen[-1:]}"
            self.urls.append(self.urls.pop(0))
            time.sleep(0.05)


def at_once(clients: list[Any]) -> None:
    """Run callables side by side, and raise what any of them raised."""
    raised: list[BaseException] = []

    def run(client: Any) -> None:
        try:
            client()
        except BaseException as error:
            raised.append(error)

    threads = [threading.Thread(target=run, args=(client,)) for client in clients]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    if raised:
        raise raised[0]
