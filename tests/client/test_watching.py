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
from cureyard_client import watching
from cureyard_client.api import Answer
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
    first, _, second = drawn(server).partition("No answer any more")
    assert "as of 2026-03-04 10:00:07; Ctrl-C ends it" in first
    assert "Nothing to do now." in first
    assert "as of 2026-03-04 10:00:07." in " ".join(second.split())


def drawn(server: Any) -> str:
    """What it drew until the service went away; then somebody ends it."""
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
    assert "Traceback" not in told.decode()
    return told.decode()


@pytest.mark.parametrize("option", [[], ["--json"]])
def test_no_terminal(server: Any, option: list[str]) -> None:
    """A pipe has no screen: exit 2, and nothing on stdout."""
    server.answer(server.reply(NOW))
    done = CliRunner().invoke(program, ["--url", server.url, "now", "--watch", *option])
    assert (done.exit_code, done.stdout) == (2, "")


def test_an_answer_that_still_holds_is_not_sent_again(server: Any) -> None:
    """It asks with the ETag of what it shows, and shows it again, as of its own moment."""
    etag = 'W/"1f38"'
    later = {**NOW, "at": "2026-03-04T10:01:07+01:00"}
    server.answer(
        server.reply(NOW, headers={"ETag": etag}), server.reply("", 304),
        server.reply(later), server.refusal(503, "not-ready"),
    )  # fmt: skip
    told = drawn(server)
    assert told.count("as of 2026-03-04 10:00:07; Ctrl-C ends it") == 2
    assert told.count("as of 2026-03-04 10:01:07; Ctrl-C ends it") == 1
    asked = [request.headers.get("If-None-Match") for request in server.requests[:4]]
    assert asked == [None, etag, etag, None]


def test_an_answer_that_is_kept_grows_old(monkeypatch: pytest.MonkeyPatch) -> None:
    """After a minute the whole is asked for again: the air of the bays may be another."""
    passed, asked = [0.0], []

    def look(kept: str | None) -> Answer:
        asked.append((passed[0], kept))
        if len(asked) > 14:
            raise KeyboardInterrupt
        return Answer(200, "{}", "W/1") if kept is None else Answer(304, "", "W/1")

    def rest(seconds: float) -> None:
        passed[0] += seconds

    monkeypatch.setattr(watching.time, "sleep", rest)
    monkeypatch.setattr(watching.time, "monotonic", lambda: passed[0])
    monkeypatch.setattr(watching.sys.stdout, "isatty", lambda: True, raising=False)
    monkeypatch.setattr(watching, "screen", lambda *shown: [])
    with pytest.raises(KeyboardInterrupt):
        watching.watch(look, lambda body, view: [])
    assert [at for at, kept in asked if kept is None] == [0.0, 60.0]
