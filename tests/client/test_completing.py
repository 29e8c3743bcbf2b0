"""Tab: commands at once, records of the store where one is meant, and never a word of trouble."""

from __future__ import annotations

import os
import subprocess
import sys
from typing import Any

import pytest

from ..waiting import HANGS_S

PROGRAM = """
import sys
from cureyard_client.main import main
try:
    main()
finally:
    print("imported:", *sorted(sys.modules), file=sys.stderr)
"""
PATIENT = f"""
from cureyard_client.options import stored
stored.ANSWERED_WITHIN_S = ({HANGS_S}, {HANGS_S})
{PROGRAM}"""
"""On a busy machine a server that answers may take longer than who presses Tab would wait."""

JOBS = [{"number": "26-014", "title": "Stem"}, {"number": "26-015", "title": "Keel, port"}]
LOTS = [
    {"product": "LAM-PE", "number": "B-1", "container": c, "state": "good",
     "on_hand": {"value": 18.5, "unit": "kg"}} for c in ("1", "2")
]  # fmt: skip


def tab(
    line: str, shell: str = "bash", program: str = PATIENT, **environment: str
) -> tuple[list[str], set[str]]:
    """What is offered at the end of a line, and what was imported for it."""
    words = line.split(" ")
    asked = {
        "COMP_WORDS": line, "COMP_CWORD": str(len(words) - 1) if shell != "fish" else words[-1],
        "_CUREYARD_COMPLETE": f"{shell}_complete",
    }  # fmt: skip
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=False,
        env={**os.environ, **asked, **environment}, timeout=HANGS_S,
    )  # fmt: skip
    said, _, modules = done.stderr.rpartition("imported:")
    assert said == ""
    return list(filter(None, done.stdout.splitlines())), set(modules.split())


def names(found: list[str]) -> list[str]:
    """The offers themselves."""
    return [line.partition(",")[2] for line in found]


@pytest.mark.parametrize(
    ("line", "offered"),
    [
        ("cureyard ba", ["backup", "batch", "bay"]),
        ("cureyard job cl", ["close"]),
        ("cureyard plan ta", ["tabbing", "taper"]),
        ("cureyard lot list --sta", ["--state"]),
        ("cureyard lot list --state he", ["held"]),
        ("cureyard export lo", ["lots"]),
        ("cureyard --ur", ["--url"]),
    ],
)
def test_what_the_program_itself_has(line: str, offered: list[str]) -> None:
    """Commands, options and words, without asking anybody, or importing what would ask."""
    found, modules = tab(line, program=PROGRAM)
    assert names(found) == offered
    assert modules.isdisjoint({"flask", "peewee", "cureyard_service", "openpyxl"})


@pytest.mark.parametrize(
    ("line", "path", "items", "offered"),
    [
        ("cureyard job close ", "/v1/jobs?limit=200&state=open", JOBS, ["26-014", "26-015"]),
        ("cureyard job reopen ", "/v1/jobs?limit=200&state=closed", JOBS, ["26-014", "26-015"]),
        ("cureyard draw --job 26-015", "/v1/jobs?limit=200&state=open", JOBS, ["26-015"]),
        ("cureyard lot show lam", "/v1/lots?limit=200", LOTS, ["LAM-PE/B-1", "LAM-PE/B-1/2"]),
        ("cureyard mix X 2kg --catalyst-lot ", "/v1/lots?limit=200", LOTS,
         ["LAM-PE/B-1", "LAM-PE/B-1/2"]),
        ("cureyard dose ", "/v1/products?limit=200", [{"code": "LAM-PE", "name": "x"}],
         ["LAM-PE"]),
        ("cureyard bay read ", "/v1/bays?limit=200", [{"code": "SHED", "title": "x"}], ["SHED"]),
        ("cureyard layup show ", "/v1/layups?limit=200", [{"id": 3, "title": "Plies"}], ["3"]),
        ("cureyard batch observe ", "/v1/batches?limit=200", [{"id": 7, "job": "D-7"}], ["7"]),
        ("cureyard layup start D-7 Keel --batch ", "/v1/batches?limit=200",
         [{"id": 7, "job": "D-7"}], ["7"]),
    ],
)  # fmt: skip
def test_what_the_store_has(
    server: Any, line: str, path: str, items: list[Any], offered: list[str]
) -> None:
    """One look at the server, and what begins as typed, in any case."""
    server.answer(server.reply({"items": items, "next": None}))
    found, modules = tab(line, CUREYARD_URL=server.url)
    assert names(found) == offered
    assert [request.path for request in server.requests] == [path]
    assert "cureyard_service" not in modules


@pytest.mark.parametrize("line", ["cureyard job open ", "cureyard lot receive X 1kg --number "])
def test_a_new_number_is_not_offered(server: Any, line: str) -> None:
    """What is being named now is asked of nobody."""
    assert tab(line, CUREYARD_URL=server.url)[0] == []
    assert server.requests == []


def test_words_beside_it(server: Any) -> None:
    """Shells that show a word beside an offer get it."""
    server.answer(server.reply({"items": LOTS[:1], "next": None}))
    found, _ = tab("cureyard lot show ", "zsh", CUREYARD_URL=server.url)
    assert found == ["plain", "LAM-PE/B-1", "18.5 kg, good"]


def test_trouble_is_silent_and_short(server: Any, tmp_path: Any) -> None:
    """No server, a hung one, a refusal, nonsense, no store: nothing offered, nothing made."""
    line = "cureyard job close "
    assert tab(line, CUREYARD_URL="http://127.0.0.1:9")[0] == []
    for reply in (
        server.refusal(401, "not-authenticated"), server.reply({"items": [{}]}),
        server.reply("x", kind="text/plain"), server.reply({}, hangs=True),
    ):  # fmt: skip
        server.answer(reply)
        assert tab(line, program=PROGRAM, CUREYARD_URL=server.url)[0] == []
    assert tab(line, CUREYARD_DATABASE=str(tmp_path / "none.db"))[0] == []
    assert tab(line, CUREYARD_UNITS="furlongs")[0] == []
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_what_a_shell_reads(shell: str) -> None:
    """A script that asks this program."""
    program = "from cureyard_client.main import main; main()"
    done = subprocess.run(
        [sys.executable, "-c", program, "completion", shell],
        capture_output=True, text=True, check=True, timeout=HANGS_S,
    )  # fmt: skip
    assert f"_CUREYARD_COMPLETE={shell}_complete" in done.stdout
