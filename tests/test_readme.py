"""What the README shows runs as it stands, in order, in an empty home.

What the help topics show is run in tests/client/test_help.py; their lines for curl are run here.
"""

from __future__ import annotations

import json
import os
import re
import resource
import shlex
import shutil
import signal
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from cureyard_service import topics

from .shown import unknown
from .waiting import HANGS_S

README = Path(__file__).parents[1] / "README.md"

NEWCOMER_S = 300
"""From nothing to the first answer, in seconds, for somebody who has only the README."""
TYPED_PER_S = 200 / 60
"""Characters: forty words a minute, by somebody who looks at the keys."""
INSTALL_S = 75
"""Installing took 66 on two busy cores; a link that is slow to fetch packages is not our time."""
QUESTIONS_S = 20
"""For reading the four questions of a new yard, and pressing Enter."""


def _typed(mark: str) -> list[str]:
    """The commands of every block with a mark."""
    blocks = README.read_text(encoding="utf-8").split(f"<!-- {mark} -->")[1:]
    lines = [line for block in blocks for line in block.split("```")[1].split("\n")]
    return [line[2:] for line in lines if line.startswith("$ ")]


@dataclass(frozen=True)
class Newcomer:
    """Somebody at a shell in an empty home."""

    place: dict[str, str]

    @classmethod
    def at(cls, folder: Path) -> Newcomer:
        """With the program on the path."""
        programs = str(Path(sys.executable).parent)
        path = f"{programs}{os.pathsep}{os.environ['PATH']}"
        return cls({"HOME": str(folder), "PATH": path})

    def types(self, command: str) -> str:
        """What a command says; it ends well."""
        done = subprocess.run(
            shlex.split(command), env=self.place, capture_output=True, text=True, timeout=HANGS_S,
            check=False,
        )  # fmt: skip
        assert done.returncode == 0, f"{command}\n{done.stderr}"
        return done.stdout


@pytest.fixture(scope="module")
def day(tmp_path_factory: pytest.TempPathFactory) -> tuple[Newcomer, dict[str, str]]:
    """The first day, done: who did it, and what each command said last."""
    newcomer = Newcomer.at(tmp_path_factory.mktemp("home"))
    return newcomer, {line.split()[1]: newcomer.types(line) for line in _typed("first day")}


@pytest.fixture
def server(day: tuple[Newcomer, dict[str, str]]) -> Iterator[str]:
    """The address of a real server on the first day's store."""
    command = ["cureyard", "serve", "--port", "0"]
    serving = subprocess.Popen(command, env=day[0].place, stderr=subprocess.PIPE, text=True)
    assert serving.stderr is not None
    try:
        yield serving.stderr.readline().split()[-1]
    finally:
        serving.send_signal(signal.SIGTERM)
        serving.communicate(timeout=HANGS_S)


def test_the_first_day_runs_as_it_is_written(day: tuple[Newcomer, dict[str, str]]) -> None:
    """Each command ends well; the pot's and the layup's answers are those of a real store."""
    _, said = day
    assert re.search(r"^weigh\s+30\.2 g\s+PEROX-9", said["mix"], re.MULTILINE)
    assert "window opens" in said["layup"]
    assert "-0.1 kg" in said["count"] or "17.9 kg" in said["count"]
    assert "26-014" in said["trace"]


def test_the_daily_commands_run_after_the_first_day(day: tuple[Newcomer, dict[str, str]]) -> None:
    """Each ends well; the second pot has its card, and nothing is out of date."""
    newcomer, _ = day
    said = {line: newcomer.types(line) for line in _typed("every day")}
    assert len(said) == 6
    mixed = next(told for line, told in said.items() if line.startswith("cureyard mix"))
    assert re.search(r"^weigh\s", mixed, re.MULTILINE)
    assert said["cureyard lot list --state expired"] == ""
    assert "window shuts" in said["cureyard layup show 1"]


def test_the_next_coat_is_known_within_five_minutes(tmp_path: Path) -> None:
    """What a newcomer types, at the pace of one, and what a machine of their own takes for it."""
    newcomer = Newcomer.at(tmp_path)
    install = re.search(
        r"^python3 -m venv .*pip install.*$", README.read_text(encoding="utf-8"), re.M
    )
    assert install is not None
    lines = _typed("next coat")
    begun = _used()
    said = [newcomer.types(line) for line in lines if line.startswith("cureyard ")]
    took = _used() - begun
    assert len(said) == 4
    assert re.search(r"^window\s+\S+ \d\d:\d\d to ", said[-1], re.MULTILINE)
    typing = sum(map(len, [install[0], *lines])) / TYPED_PER_S
    assert INSTALL_S + QUESTIONS_S + typing + took < NEWCOMER_S


def _used() -> float:
    """Seconds that the programs run from here have kept a processor busy."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


@pytest.mark.skipif(shutil.which("curl") is None, reason="no curl on this machine")
def test_the_lines_for_curl_work_as_they_stand(
    day: tuple[Newcomer, dict[str, str]], server: str
) -> None:
    """Against a real server, after the first day; sent twice, a delivery is received once."""
    (block,) = (b for b in topics.topic("interface").blocks if b.lines[0].startswith("curl"))
    lines = "\n".join(block.lines).replace("\\\n", "").splitlines()
    now, dose, lot, readings = (_asked(line, server, day[0]) for line in lines)
    assert now["layups"][0]["job"] == "26-014"
    assert dose["catalyst"]["mass"] == {"value": 30.2, "unit": "g"}
    assert (lot["number"], readings["recorded"]) == ("P-15", 1)
    keyed = next(line for line in lines if "Idempotency-Key" in line)
    assert _asked(keyed, server, day[0]) == lot


def _asked(line: str, server: str, newcomer: Newcomer) -> Any:
    """The answer to a line for the shell, sent to the server that there is."""
    asked = line.replace("http://127.0.0.1:8765", server)
    assert asked != line
    done = subprocess.run(
        ["bash", "-c", asked], env=newcomer.place, capture_output=True, text=True, timeout=HANGS_S,
        check=True,
    )  # fmt: skip
    return json.loads(done.stdout)


def test_every_command_in_the_readme_is_one_of_ours() -> None:
    """A renamed command or option does not live on in the documents."""
    assert unknown(README.read_text(encoding="utf-8")) == []


def test_the_readme_and_the_topic_back_up_alike() -> None:
    """The line for every evening is the same in both."""
    (line,) = re.findall(r"^0 20 .*$", README.read_text(encoding="utf-8"), re.M)
    assert line in topics.topic("backups").text


def test_what_the_readme_links_to_is_there() -> None:
    """Its pictures, its files and its own headings."""
    text = README.read_text(encoding="utf-8")
    headings = re.findall(r"^#+ (.*)$", text, re.M)
    anchors = {re.sub(r"[^\w -]", "", heading.lower()).replace(" ", "-") for heading in headings}
    for link in re.findall(r"\]\(([^)]+)\)|src=\"([^\"]+)\"", text):
        target = link[0] or link[1]
        there = target[1:] in anchors if target[0] == "#" else (README.parent / target).is_file()
        assert there, target
