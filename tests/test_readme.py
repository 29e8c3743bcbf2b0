"""What the README shows runs as it stands, in order, in an empty home."""

from __future__ import annotations

import os
import re
import shlex
import subprocess
import sys
from pathlib import Path

import click
from cureyard_client.main import program

README = Path(__file__).parents[1] / "README.md"


def _first_day() -> list[str]:
    day = README.read_text(encoding="utf-8").split("<!-- first day -->")[1].split("```")[1]
    return [line[2:] for line in day.splitlines() if line.startswith("$ ")]


def test_the_first_day_runs_as_it_is_written(tmp_path: Path) -> None:
    """Each command ends well; the pot's and the layup's answers are those of a real store."""
    programs = str(Path(sys.executable).parent)
    place = {"HOME": str(tmp_path), "PATH": f"{programs}{os.pathsep}{os.environ['PATH']}"}
    said = {}
    for command in _first_day():
        done = subprocess.run(
            shlex.split(command), env=place, capture_output=True, text=True, timeout=60, check=False
        )
        assert done.returncode == 0, f"{command}\n{done.stderr}"
        said[command.split()[1]] = done.stdout
    assert re.search(r"^weigh\s+30\.2 g of PEROX-9", said["mix"], re.MULTILINE)
    assert "recoat opens" in said["layup"]
    assert "-0.1 kg" in said["count"] or "17.9 kg" in said["count"]
    assert "26-014" in said["trace"]


def test_every_command_in_the_readme_is_one_of_ours() -> None:
    """A renamed command does not live on in the documents."""
    named = set(re.findall(r"cureyard ([a-z][\w-]*)", README.read_text(encoding="utf-8")))
    known = set(program.list_commands(click.Context(program)))
    assert len(named) > 10
    assert named <= known
