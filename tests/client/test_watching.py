"""`cureyard now --watch`: drawn anew, and an old answer never passes for a new one."""

from __future__ import annotations

import os
import pty
import signal
import subprocess
import sys
from typing import Any

import pytest
from click.testing import CliRunner
from cureyard_client.main import program

from ..waiting import HANGS_S

MAIN = "from cureyard_client.main import main; main()"
LINE = [sys.executable, "-c", MAIN]
HURRIED = [
    sys.executable, "-c", f"from cureyard_client import watching; watching.EVERY_S = 0.2; {MAIN}"
]  # fmt: skip
"""The program, drawing anew five times a second."""
AT = "2026-03-04T10:00:07+01:00"
NOW = {"at": AT, "order": [], "actions": [], "layups": [], "pots": [], "lots": {}, "bays": []}


def test_a_service_that_goes_away(server: Any) -> None:
    """It says so, and as of when everything is that still stands there; Ctrl-C exits 130."""
    server.answer(server.reply(NOW), server.refusal(503, "not-ready"))
    here, there = pty.openpty()
    environment = {**os.environ, "COLUMNS": "80", "LINES": "24"}
    process = subprocess.Popen(
        [*HURRIED, "--url", server.url, "now", "--watch"],
        stdout=there, stderr=there, env=environment,
    )  # fmt: skip
    os.close(there)
    told = b""
    while b"No answer any more" not in told:
        told += os.read(here, 4096)
    process.send_signal(signal.SIGINT)
    assert process.wait(timeout=HANGS_S) == 130
    os.close(here)
    first, _, second = told.decode().partition("No answer any more")
    assert "as of 2026-03-04 10:00:07; Ctrl-C ends it" in first
    assert "Nothing to do now." in first
    assert "as of 2026-03-04 10:00:07." in " ".join(second.split())
    assert "Traceback" not in told.decode()


@pytest.mark.parametrize("option", [[], ["--json"]])
def test_no_terminal(server: Any, option: list[str]) -> None:
    """A pipe has no screen: exit 2, and nothing on stdout."""
    server.answer(server.reply(NOW))
    done = CliRunner().invoke(program, ["--url", server.url, "now", "--watch", *option])
    assert (done.exit_code, done.stdout) == (2, "")
