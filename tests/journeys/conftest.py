"""The installed program, run as a hand runs it: processes, files, sockets, nothing patched."""

from __future__ import annotations

import json
import os
import shlex
import signal
import subprocess
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
import requests
from selenium.webdriver import Chrome

from ..browser import browser
from ..waiting import HANGS_S

CUREYARD = Path(sys.executable).parent / "cureyard"


@dataclass(frozen=True)
class Done:
    """What a command came to."""

    code: int
    out: str
    err: str

    @property
    def json(self) -> Any:
        """The service's own answer, as `--json` prints it."""
        return json.loads(self.out)


@dataclass(frozen=True)
class Hand:
    """Somebody at a shell with an empty home.

    Attributes:
        environment: all that the program knows of them.
    """

    environment: dict[str, str]

    @classmethod
    def at(cls, folder: Path, **settings: str) -> Hand:
        """A hand whose home is a new folder; settings are the program's own variables."""
        home = folder / "home"
        home.mkdir(parents=True, exist_ok=True)
        named = {f"CUREYARD_{name.upper()}": value for name, value in settings.items()}
        system = {name: os.environ[name] for name in ("SYSTEMROOT", "LANG") if name in os.environ}
        return cls({**system, "PATH": os.defpath, "HOME": str(home), "COLUMNS": "100", **named})

    def types(self, line: str, exits: int = 0, given: str = "") -> Done:
        """Run a command line, as a shell would split it, and hold it to its exit.

        `given` is what comes in at its stdin.
        """
        done = subprocess.run(
            [CUREYARD, *shlex.split(line)], env=self.environment, capture_output=True,
            text=True, encoding="utf-8", timeout=HANGS_S, input=given,
        )  # fmt: skip
        assert "Traceback" not in done.stderr, done.stderr
        assert done.returncode == exits, f"{line}\n{done.stdout}\n{done.stderr}"
        return Done(done.returncode, done.stdout, done.stderr)

    @contextmanager
    def serving(self, port: int = 0) -> Iterator[str]:
        """`cureyard serve` in a process of its own; its address. Told to stop by SIGTERM."""
        server = subprocess.Popen(
            [CUREYARD, "serve", "--port", str(port)], env=self.environment,
            stderr=subprocess.PIPE, text=True, encoding="utf-8",
        )  # fmt: skip
        assert server.stderr is not None
        try:
            first = server.stderr.readline()
            assert first.startswith("Serving at http://127.0.0.1:"), first + server.stderr.read()
            yield first.split()[-1]
        finally:
            server.send_signal(signal.SIGTERM)
            try:
                _, rest = server.communicate(timeout=HANGS_S)
            except subprocess.TimeoutExpired:
                server.kill()
                raise
        assert server.returncode == 0, rest
        assert "Traceback" not in rest, rest


Record = Sequence[tuple[str, dict[str, Any]]]
"""What is done over the interface, in turn: a path under `/v1/`, and the body that is posted."""


@contextmanager
def recorded(folder: Path, record: Record) -> Iterator[tuple[str, requests.Session]]:
    """A served yard in which all that was done: its address, and who did it."""
    hand = Hand.at(folder, database=str(folder / "yard.sqlite"), zone="UTC", hand="Ada")
    with hand.serving() as served, requests.Session() as session:
        for where, body in record:
            answer = session.post(f"{served}/v1/{where}", json=body, timeout=HANGS_S)
            assert answer.status_code == 201, answer.text
        yield served, session


@pytest.fixture(scope="module")
def chrome() -> Iterator[Chrome]:
    """A real browser; without one on the machine the test is skipped."""
    with browser() as opened:
        yield opened
