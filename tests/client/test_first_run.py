"""A yard's first command at a terminal asks four things; nothing else ever asks."""

from __future__ import annotations

import os
import pty
import subprocess
import sys
import tomllib
from pathlib import Path
from typing import Any

import pytest
from cureyard_client import settings

from ..waiting import HANGS_S

LINE = [sys.executable, "-c", "from cureyard_client.main import main; main()"]


def at_a_terminal(home: Path, answers: bytes, *arguments: str, **more: str) -> tuple[int, str]:
    """A run on a terminal of its own: its exit, and all that is on the screen."""
    here, there = pty.openpty()
    environment = {**os.environ, "HOME": str(home), "TZ": "Europe/Madrid", **more}
    for name in ("XDG_CONFIG_HOME", "XDG_DATA_HOME"):
        environment[name] = str(home / name)
    with subprocess.Popen(
        [*LINE, *arguments], stdin=there, stdout=there, stderr=there, env=environment
    ) as process:
        os.close(there)
        os.write(here, answers)
        seen = b""
        while True:
            try:
                seen += os.read(here, 4096)
            except OSError:  # the other side is closed
                break
        code = process.wait(timeout=HANGS_S)
    os.close(here)
    return code, seen.decode().replace("\r\n", "\n")


def kept(home: Path) -> dict[str, Any]:
    """The settings file."""
    file = home / "XDG_CONFIG_HOME" / "cureyard" / "settings.toml"
    return tomllib.loads(file.read_text(encoding="utf-8")) if file.exists() else {}


def test_four_questions_once(tmp_path: Path) -> None:
    """A wrong answer is asked again; what was answered is the yard's, and not asked again."""
    answers = b'Atlantis\nEurope/Lisbon\nus\neuro\nusd\nIn\xc3\xaas "S"\n'
    code, seen = at_a_terminal(tmp_path, answers, "yard", "show")
    assert code == 0, seen
    assert "is not a time zone" in seen
    assert "three letters" in seen
    assert kept(tmp_path) == {
        "zone": "Europe/Lisbon", "units": "us", "currency": "USD", "hand": 'Inês "S"',
    }  # fmt: skip
    assert "USD" in seen.partition("Kept in")[2]
    code, seen = at_a_terminal(tmp_path, b"", "yard", "show")
    assert code == 0
    assert "four things" not in seen
    file = tmp_path / "XDG_CONFIG_HOME" / "cureyard" / "settings.toml"
    assert settings.load({}, file).hand == 'Inês "S"'


def test_enter_takes_what_is_usual(tmp_path: Path) -> None:
    """The machine's zone and login, metric, EUR; what is set already is not asked."""
    code, seen = at_a_terminal(tmp_path, b"\n\n\n", "bay", "list", CUREYARD_HAND="Rui")
    assert code == 0, seen
    assert "Your name" not in seen
    told = kept(tmp_path)
    assert told == {"zone": "Europe/Madrid", "units": "metric", "currency": "EUR", "hand": "Rui"}


def test_who_goes_away_has_nothing_made(tmp_path: Path) -> None:
    """The end of input at a question: exit 130, no settings and no store."""
    code, seen = at_a_terminal(tmp_path, b"Europe/Lisbon\n\x04", "bay", "list")
    assert code == 130, seen
    assert kept(tmp_path) == {}
    assert not list(tmp_path.rglob("*.sqlite"))


@pytest.mark.parametrize("arguments", [("bay", "list", "--json"), ("--help",), ("now", "--help")])
def test_nobody_else_is_asked(tmp_path: Path, arguments: tuple[str, ...]) -> None:
    """Not for a program's answer, nor for help."""
    code, seen = at_a_terminal(tmp_path, b"", *arguments)
    assert code == 0
    assert "four things" not in seen
    assert kept(tmp_path) == {}


def test_a_pipe_is_not_asked(tmp_path: Path) -> None:
    """Without a terminal a yard starts with what is usual."""
    environment = {**os.environ, "XDG_CONFIG_HOME": str(tmp_path), "XDG_DATA_HOME": str(tmp_path)}
    done = subprocess.run(
        [*LINE, "bay", "list"], capture_output=True, text=True, env=environment, check=True,
        timeout=HANGS_S, stdin=subprocess.DEVNULL,
    )  # fmt: skip
    assert done.stderr == "There are none.\n"
    assert not list(tmp_path.rglob("settings.toml"))
