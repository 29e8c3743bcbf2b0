"""The program in a process of its own: how it ends, and what it writes where."""

from __future__ import annotations

import contextlib
import os
import pty
import signal
import subprocess
import sys
from typing import Any

from ..waiting import HANGS_S, until

LINE = [sys.executable, "-c", "from cureyard_client.main import main; main()"]


def test_interrupted(server: Any) -> None:
    """Ctrl-C while a server takes its time: exit 130, and no traceback."""
    server.answer(server.reply(hangs=True))
    with subprocess.Popen(
        [*LINE, "--url", server.url, "now"], stderr=subprocess.PIPE, text=True
    ) as process:
        until(lambda: server.requests, "the request")
        process.send_signal(signal.SIGINT)
        _, told = process.communicate(timeout=HANGS_S)
    assert process.returncode == 130
    assert "Traceback" not in told


def ran(*arguments: str, **environment: str) -> subprocess.CompletedProcess[str]:
    """The program, run to its end."""
    return subprocess.run(
        [*LINE, *arguments],
        capture_output=True,
        encoding="latin-1",
        check=False,
        env=os.environ | environment,
        timeout=HANGS_S,
    )


def test_no_server_answers() -> None:
    """Exit 3, the address, and what to do; the address may come from the environment."""
    done = ran("now", CUREYARD_URL="http://127.0.0.1:9")
    assert (done.returncode, done.stdout) == (3, "")
    assert "http://127.0.0.1:9" in done.stderr
    assert "cureyard serve" in done.stderr


def test_a_screen_without_the_letters(server: Any) -> None:
    """A screen that can't show a name still gets its answer."""
    bay = {"code": "SHED", "title": "Сарай", "latest": None, "pattern": {
        "day": {"value": 20, "unit": "degC"}, "night": {"value": 14, "unit": "degC"},
        "day_from": "07:00", "day_until": "18:00"}}  # fmt: skip
    server.answer(server.reply(bay))
    done = ran("--url", server.url, "bay", "show", "SHED", PYTHONIOENCODING="latin-1")
    assert done.returncode == 0, done.stderr
    assert done.stdout.splitlines()[0] == "bay SHED   ?????"


def test_what_was_typed_is_no_text() -> None:
    """Bytes that are no text are refused in words."""
    line = [*LINE, "job", "show", b"\xff"]
    done = subprocess.run(line, capture_output=True, check=False, timeout=HANGS_S)
    assert done.returncode == 2
    assert b"not readable text" in done.stderr


def test_wrong_usage() -> None:
    """Exit 2, and where help is."""
    done = ran("draw")
    assert done.returncode == 2
    assert "cureyard draw --help" in done.stderr


def test_a_reader_that_goes_away(server: Any) -> None:
    """`cureyard … | head` ends quietly."""
    items = [{"code": f"B{n}", "title": "x" * 400, "latest": None, "pattern": {
        "day": {"value": 20, "unit": "degC"}, "night": {"value": 14, "unit": "degC"},
        "day_from": "07:00", "day_until": "18:00"}} for n in range(2000)]  # fmt: skip
    server.answer(server.reply({"items": items, "next": None}))
    with subprocess.Popen(
        [*LINE, "--url", server.url, "bay", "list"], stdout=subprocess.PIPE, stderr=subprocess.PIPE
    ) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.read(10)
        process.stdout.close()
        told = process.stderr.read()
    assert b"Traceback" not in told
    assert b"BrokenPipe" not in told


def on_a_terminal(server: Any, rows: int, lots: int) -> str:
    """What a terminal of so many rows shows of a list of so many lots."""
    items = [{"id": n, "product": "LAM", "number": f"B-{n}", "container": "1", "state": "good",
              "on_hand": {"value": 1, "unit": "kg"}} for n in range(lots)]  # fmt: skip
    server.answer(server.reply({"items": items, "next": None}))
    here, there = pty.openpty()
    environment = {**os.environ, "COLUMNS": "80", "LINES": str(rows), "PAGER": "sed s/^/paged:/"}
    process = subprocess.Popen(
        [*LINE, "--url", server.url, "lot", "list"], stdin=there, stdout=there, stderr=there,
        env=environment,
    )  # fmt: skip
    os.close(there)
    told = b""
    with contextlib.suppress(OSError):  # the terminal is closed with its last writer
        while more := os.read(here, 4096):
            told += more
    assert process.wait(timeout=HANGS_S) == 0
    os.close(here)
    return told.decode()


def test_a_pager_for_what_is_longer_than_the_screen(server: Any) -> None:
    """On a terminal alone."""
    assert "paged:" in on_a_terminal(server, rows=10, lots=20)
    short = on_a_terminal(server, rows=30, lots=20)
    assert "B-19" in short
    assert "paged:" not in short
    piped = ran("--url", server.url, "lot", "list", LINES="10", PAGER="sed s/^/paged:/")
    assert "B-19" in piped.stdout
    assert "paged:" not in piped.stdout
