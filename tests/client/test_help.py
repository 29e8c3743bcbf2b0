"""`cureyard help`: each topic is shown, and what it shows runs as it stands."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from cureyard_client import embedded
from cureyard_client.main import COMMANDS, SECTIONS, program
from cureyard_service import topics

from ..shown import Shown, commands, unknown
from ..waiting import HANGS_S
from . import test_examples as examples

stages = examples.stages

NAMES = topics.names()


def asked(*arguments: str, columns: int = 80) -> Result:
    """What the program answers, without a store or a server."""
    return CliRunner().invoke(program, ["help", *arguments], env={"COLUMNS": str(columns)})


def test_the_commands_are_in_groups() -> None:
    """Every command under one heading, daily work first."""
    assert sorted(name for names in SECTIONS.values() for name in names) == sorted(COMMANDS)
    told = CliRunner().invoke(program, ["--help"], env={"COLUMNS": "80"}).stdout
    assert re.findall(r"^(\w.*):$", told, re.M)[1:] == list(SECTIONS)
    assert re.findall(r"^  ([a-z-]+)  ", told.partition("Every day:")[2], re.M)[:3] == [
        "now", "dose", "mix",
    ]  # fmt: skip


def test_the_topics_are_listed() -> None:
    """Each by its name and its title."""
    done = asked()
    assert done.exit_code == 0, done.output
    listed = " ".join(done.stdout.split())
    for name in NAMES:
        assert f"{name} {topics.topic(name).title}" in listed


@pytest.mark.parametrize("columns", [40, 80, 200])
@pytest.mark.parametrize("name", NAMES)
def test_a_topic_is_wrapped_to_the_screen(name: str, columns: int) -> None:
    """All its words, and no line of prose over the edge; code is as it is typed."""
    done = asked(name, columns=columns)
    assert done.exit_code == 0, done.output
    prose = [line for line in done.stdout.splitlines() if not line.startswith("    ")]
    assert max(map(len, prose)) <= min(columns, 80)
    told = topics.topic(name)
    words = " ".join(done.stdout.replace("\n  - ", "\n").split())
    assert words.startswith(told.title)
    for block in told.blocks:
        for line in block.lines:
            assert " ".join(line.split()) in words


def test_a_topic_for_a_program() -> None:
    """The Markdown as it was written."""
    told = json.loads(asked("plan", "--json").stdout)
    assert told == {
        "name": "plan", "title": topics.topic("plan").title, "text": topics.topic("plan").text
    }  # fmt: skip
    assert set(json.loads(asked("--json").stdout)) == set(NAMES)


@pytest.mark.parametrize(
    ("name", "advice"),
    [
        ("plam", "Did you mean 'plan'?"),
        ("calender", "Did you mean 'calendar'?"),
        ("mix", "'cureyard mix --help' explains that command. 'cureyard help plan' tells of it."),
        ("hardness", "'cureyard help acceptance' tells of it."),
        ("bead", "'cureyard help beads' tells of it."),
        ("xyzzy", "'cureyard help' lists the topics."),
    ],
)
def test_an_unknown_topic(name: str, advice: str) -> None:
    """What was wrong, and the nearest names."""
    done = asked(name)
    assert done.exit_code == 2
    assert done.stdout == ""
    assert done.stderr == f"Error: There is no topic {name!r}.\n{advice}\n"


@pytest.mark.parametrize(
    ("word", "topic"),
    [
        ("sign", "acceptance"), ("signing", "acceptance"), ("wax", "acceptance"),
        ("sealants", "beads"), ("putty", "plan"), ("sequences", "plan"), ("surfaces", "wetness"),
    ],
)  # fmt: skip
def test_a_word_finds_its_topic(word: str, topic: str) -> None:
    """In any ending, and the topic that tells the most of it first."""
    assert topics.telling_of(word)[0] == topic


def test_help_loads_no_service() -> None:
    """A help text needs no store, and none of what opens one."""
    program = """
import sys
from cureyard_client.main import main
try:
    main()
finally:
    assert not {"flask", "peewee", "pint", "requests"} & set(sys.modules)
"""
    line = [sys.executable, "-c", program, "help", "safety"]
    done = subprocess.run(line, capture_output=True, text=True, timeout=HANGS_S, check=False)
    assert done.returncode == 0, done.stderr
    assert "cautions" in done.stdout


@pytest.mark.parametrize("name", NAMES)
def test_what_a_topic_names_exists(name: str) -> None:
    """A renamed command or option does not live on in a topic."""
    assert unknown(topics.topic(name).text) == []


@pytest.mark.parametrize("name", NAMES)
def test_what_a_topic_shows_runs(
    name: str, stages: dict[str, Path], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One command after the other, at one yard; the answers are those that it shows."""
    examples.stand_still(monkeypatch)
    monkeypatch.chdir(tmp_path)
    examples.files(tmp_path)
    store = tmp_path / "yard.sqlite"
    shutil.copy(stages["work"], store)
    try:
        for shown in commands(topics.topic(name).text):
            if not examples.first(examples.ELSEWHERE, shown.typed, None):
                _runs(shown, store)
    finally:
        embedded.close()


def _runs(shown: Shown, store: Path) -> None:
    done = examples.typed(shown.typed, store, columns="80")
    assert done.exit_code == 0, f"{shown.typed}\n{done.output}"
    assert "\n".join(shown.answer) in done.stdout, f"{shown.typed}\n{done.stdout}"
